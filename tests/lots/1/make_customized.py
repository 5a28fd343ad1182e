"""Make ``demo-customized.xlsx``: format 1's demo as a person has it after months of work in a desktop program.

It ran once, at commit cf1242a, and runs against format 1's code only; the lot it made is kept and never made again.
The changes are made in the package's XML, as a spreadsheet program would have left them; the results stored beside the
formulas are LibreOffice's, after a hard recalculation. README.md beside it lists the changes.

    PYTHONPATH=. python tests/lots/1/make_customized.py
"""

from __future__ import annotations

import copy
import datetime
import sys
import tempfile
from pathlib import Path

from openpyxl.utils import column_index_from_string, coordinate_to_tuple, get_column_letter
from own_sheet import OWN_SHEET, add_own_sheet
from package_parts import Node, Parts, Styles, moved, node, set_cell, tag
from workbook_templates.package import CellValue, edit, store_results

from tests.office import Office

HERE = Path(__file__).parent
DEMO, TARGET = HERE / "tarelot-demo.xlsx", HERE / "demo-customized.xlsx"
LOT, STRINGS = "xl/worksheets/sheet2.xml", "xl/sharedStrings.xml"
FIRST, LAST = 5, 34

# Columns of the demo by letter: K Price, M Payload, T Base weight, V Scale weight, BX Not checked.
OWN_TYPED, OWN_FORMULA = "Our cost", "Our margin"
INSERTED_AFTER, SWAPPED, LAST_COLUMN = 11, {20: 22, 22: 20}, 76
DELETED = ("1101", "1112", "1119")
COST_SHARE = {"1103": 0.82, "1108": 0.80, "1110": 0.79, "1116": 0.85, "1118": 0.81}

MARGIN = (
    "IF(COUNT(Lot[[#This Row],[Price]],Lot[[#This Row],[Our cost]])<2,"
    '"",Lot[[#This Row],[Price]]-Lot[[#This Row],[Our cost]])'
)
NOTES = {
    "1106": ("A", "Left rear tail light is out.\nParts ordered Sept 28."),
    "1116": ("K", "Owner agreed to 62,000 if it goes this month."),
}
TYPED: dict[str, dict[str, CellValue]] = {
    "Start": {"B31": "Office: lot walked and checked October 9."},
    "Lot": {
        "A26": "1130",
        "C26": "Brenmoor",
        "D26": "Deck 18",
        "E26": 2026,
        "F26": "deckover",
        "G26": "pintle",
        "I26": "on order",
        "K26": 13_950,
        "T26": 17_000,
        "A27": 1131,  # a number, as most people type it
        "C27": "Tindrel",
        "D27": "Hauler 14",
        "I27": "on lot",
        "J27": datetime.date(2026, 10, 6),
        "L27": 9_100,
        "U27": 4_260,  # scale weight
        "Z27": 2,
        "AA27": 7_000,
    },
    "What-if": {"B5": "1110", "B6": "Trencher 12", "B7": "Service truck 33", "H47": 84, "H56": 12_450},
    "Match": {"C4": "Excavator 8", "C5": "Tandem dump 58"},
    "Options": {"B6": 75, "B11": 30, "A15": "Light bar", "B15": 18},
    "Machines": {
        **dict(
            zip(
                (f"{letter}15" for letter in "ABCDEFGHIJKLM"),
                ("Trencher 12", "Marrstead", "wheels", 11_900, 88, 47, 12, 44, 20, 60, 14, 84, 98),
                strict=True,
            )
        ),
        **dict(zip(("A16", "B16", "C16", "D16"), ("Mini loader 3", "Quellmoor", "tracks", 3_450), strict=True)),
        "D5": 7_050,
    },
    "Trucks": dict(
        zip(
            (f"{letter}10" for letter in "ABCDEFGHIJKLM"),
            ("Service truck 33", "Gravenor", "ball, gooseneck", 33_000, 60_000, 12_000, 23_000)
            + (8_900, 9_400, 40_000, 12_000, 187, -3),
            strict=True,
        )
    ),
    "Incoming": {
        f"{letter}{row}": value
        for row, values in enumerate(
            (
                ("Stk #", "Manufacturer", "Model", "List price", "Scaled weight (lb)", "Where it stands"),
                ("1104", "Brenmoor", "Deck 16", "$12,600", None, "front row"),
                (1105, "Brenmoor", "Deck 20", 14_900, 5_960, "front row"),
                ("1118", "Corvane", "Ridge 18", "13,200", "5,510 lb", "back fence"),
                ("1132", "Marrowby", "Triad 24", "$16,850", None, "on a truck"),
            ),
            start=4,
        )
        for letter, value in zip("ABCDEF", values, strict=True)
        if value is not None
    },
}


def column(old: int) -> int:
    """Where a column of the demo's Lot stands now: two swapped, one inserted."""
    new = SWAPPED.get(old, old)
    return new + (new > INSERTED_AFTER)


def row(old: int) -> int:
    """Where a row below the trailers stands now that three are gone."""
    return old - len(DELETED) if old >= LAST else old


def main() -> int:
    """Make the lot, never over one that is there."""
    if TARGET.exists():
        print(f"{TARGET.name} is kept as it is and never made again", file=sys.stderr)
        return 2
    parts = Parts(DEMO)
    styles = Styles(parts.tree("xl/styles.xml"))
    lot = parts.tree(LOT)
    move_columns(lot)
    move_notes(parts)
    last = sort_and_delete(lot, Texts(parts.tree(STRINGS)))
    add_own_columns(lot, last)
    change_table(parts.tree("xl/tables/table1.xml"), last)
    change_looks(lot, styles, last)
    change_names(parts.tree("xl/workbook.xml"), last)
    change_entry_rules(parts)
    add_notes(parts, lot)
    add_own_sheet(parts, styles, last)
    parts.add_calculation_chain()
    with tempfile.TemporaryDirectory() as folder, Office() as office:
        changed, typed = Path(folder) / "changed.xlsx", Path(folder) / "typed.xlsx"
        parts.write(changed)
        edit(changed, typed, {name: dict(cells) for name, cells in TYPED.items()})
        values = office.recalculate(typed)
        results = {
            name: {
                cell: values[name][place[0] - 1][place[1] - 1] for cell in cells if (place := coordinate_to_tuple(cell))
            }
            for name, cells in parts.formula_cells().items()
            if cells
        }
        store_results(typed, TARGET, results)
    return 0


class Texts:
    """The workbook's shared strings."""

    def __init__(self, root: Node) -> None:
        self._texts = ["".join(entry.itertext()) for entry in root]

    def of(self, cell: Node) -> str:
        """The text of a cell, or its number as written."""
        value = cell.findtext(tag("v"), "")
        return self._texts[int(value)] if cell.get("t") == "s" else value


def move_columns(lot: Node) -> None:
    """Give every cell, width and rule of the Lot its new column."""
    for line in lot.iter(tag("row")):
        for cell in line:
            cell.set("r", moved(str(cell.get("r")), column, int))
        line[:] = sorted(line, key=lambda cell: coordinate_to_tuple(cell.get("r"))[1])
    widths = lot.find(tag("cols"))
    for width in widths:
        for end in ("min", "max"):
            width.set(end, str(column(int(width.get(end)))))
    own, last = column(INSERTED_AFTER) + 1, column(LAST_COLUMN) + 1
    widths.append(node(f'<col min="{own}" max="{own}" width="11.7109375" customWidth="1"/>'))
    widths.append(node(f'<col min="{last}" max="{last}" width="12.7109375" customWidth="1"/>'))
    widths[:] = sorted(widths, key=lambda width: int(width.get("min")))
    for rule in (*lot.iter(tag("conditionalFormatting")), *lot.iter(tag("dataValidation"))):
        rule.set("sqref", moved(rule.get("sqref"), column, row))
    for formula in lot.iter(tag("formula")):
        formula.text = moved(formula.text, column, row)


def move_notes(parts: Parts) -> None:
    """The notes on the headings go with their columns."""
    for note in parts.tree("xl/comments/comment1.xml").iter(tag("comment")):
        note.set("ref", moved(note.get("ref"), column, row))
    for place in parts.tree("xl/drawings/commentsDrawing1.vml").iter("{urn:schemas-microsoft-com:office:excel}Column"):
        place.text = str(column(int(place.text) + 1) - 1)


def sort_and_delete(lot: Node, texts: Texts) -> int:
    """Delete three trailers and sort the others by price, largest first; the last prepared row is returned."""
    data = lot.find(tag("sheetData"))
    lines = [line for line in data if int(line.get("r")) >= FIRST]
    cells = {id(line): {coordinate_to_tuple(cell.get("r"))[1]: texts.of(cell) for cell in line} for line in lines}
    kept = [line for line in lines if cells[id(line)][1] not in DELETED]
    filled = [line for line in kept if cells[id(line)][1]]
    filled.sort(key=lambda line: -float(cells[id(line)][INSERTED_AFTER] or 0))
    lines = filled + [line for line in kept if not cells[id(line)][1]]
    data[FIRST - 1 :] = lines
    for number, line in enumerate(lines, FIRST):
        line.set("r", str(number))
        for cell in line:
            cell.set("r", get_column_letter(coordinate_to_tuple(cell.get("r"))[1]) + str(number))
        cost = COST_SHARE.get(cells[id(line)][1])
        price = cells[id(line)][INSERTED_AFTER]
        content = f"<v>{float(price) * cost:.0f}</v>" if cost else ""
        set_cell(line, f"{get_column_letter(INSERTED_AFTER + 1)}{number}", cell_of(line, "K").get("s"), content)
        if cells[id(line)][1] == "1106":
            set_cell(line, f"N{number}", cell_of(line, "N").get("s"), "<v>16900</v>")
    return FIRST + len(lines) - 1


def cell_of(line: Node, letter: str) -> Node:
    """The cell of a row in that column."""
    return next(cell for cell in line if cell.get("r") == f"{letter}{line.get('r')}")


def line_of(lot: Node, number: int) -> Node:
    """The row of that number."""
    return next(line for line in lot.iter(tag("row")) if line.get("r") == str(number))


def add_own_columns(lot: Node, last: int) -> None:
    """Headings of the two own columns, and the formulas of the one at the right end."""
    inserted, end = get_column_letter(INSERTED_AFTER + 1), get_column_letter(column(LAST_COLUMN) + 1)
    left = get_column_letter(column(LAST_COLUMN))
    for letter, like, text in ((inserted, "K", OWN_TYPED), (end, left, OWN_FORMULA)):
        set_cell(line_of(lot, 3), f"{letter}3", cell_of(line_of(lot, 3), like).get("s"))
        style = cell_of(line_of(lot, 4), like).get("s")
        set_cell(line_of(lot, 4), f"{letter}4", style, f"<is><t>{text}</t></is>", "inlineStr")
    for number in range(FIRST, last + 1):
        line = line_of(lot, number)
        formula = MARGIN.replace("<", "&lt;")
        set_cell(line, f"{end}{number}", cell_of(line, "N").get("s"), f"<f>{formula}</f><v></v>", "str")
    lot.find(tag("dimension")).set("ref", f"A1:{end}{last}")


def change_table(table: Node, last: int) -> None:
    """The table's columns in their new order, the two own ones, its area and how it was sorted."""
    end = get_column_letter(column(LAST_COLUMN) + 1)
    table.set("ref", f"A4:{end}{last}")
    table.find(tag("autoFilter")).set("ref", f"A4:{end}{last}")
    state = f'<sortState ref="A5:{end}25"><sortCondition descending="1" ref="K5:K25"/></sortState>'
    table.insert(1, node(state))
    columns = table.find(tag("tableColumns"))
    by_place = {column(old): entry for old, entry in enumerate(columns, start=1)}
    by_place[INSERTED_AFTER + 1] = node(f'<tableColumn id="77" name="{OWN_TYPED}"/>')
    formula = MARGIN.replace("<", "&lt;")
    by_place[column(LAST_COLUMN) + 1] = node(
        f'<tableColumn id="78" name="{OWN_FORMULA}">'
        f"<calculatedColumnFormula>{formula}</calculatedColumnFormula></tableColumn>"
    )
    columns[:] = [by_place[place] for place in sorted(by_place)]
    columns.set("count", str(len(columns)))


def change_looks(lot: Node, styles: Styles, last: int) -> None:
    """Colors, a number format, widths, a hidden column, a taller row, frozen panes, print settings, a highlight."""
    yellow, blue = styles.fill("FFF2A8"), styles.fill("CFE3F5")
    price = cell_of(line_of(lot, FIRST), "K").get("s")
    dollars = styles.like(price, numFmtId=styles.number_format('"$"#,##0'), applyNumberFormat="1")
    for number in range(FIRST, last + 1):
        cell_of(line_of(lot, number), "K").set("s", dollars)
    for letter, number, fill in (("A", 7, yellow), ("D", 7, yellow), ("I", 9, blue), ("N", 13, yellow)):
        cell = cell_of(line_of(lot, number), letter)
        cell.set("s", styles.like(cell.get("s"), fillId=fill, applyFill="1"))
    line_of(lot, 7).set("ht", "33.75")
    for width in lot.find(tag("cols")):
        letter = get_column_letter(int(width.get("min")))
        if letter in ("D", "V"):
            width.set("width", {"D": "18.5703125", "V": "44.28515625"}[letter])
        if letter == "AQ":
            width.set("hidden", "1")
    view = lot.find(tag("sheetViews"))[0]
    view.set("zoomScale", "85")
    pane = view.find(tag("pane"))
    pane.set("xSplit", "4")
    pane.set("topLeftCell", "E5")
    rule = '<cfRule type="cellIs" priority="17" operator="equal" dxfId="{}"><formula>"reserved"</formula></cfRule>'
    highlight = rule.format(styles.highlight("FFE08A"))
    lot.find(tag("dataValidations")).addprevious(
        node(f'<conditionalFormatting sqref="I5:I{last}">{highlight}</conditionalFormatting>')
    )
    paper = lot.find(tag("pageSetup"))
    paper.set("paperSize", "5")  # legal
    lot.find(tag("pageMargins")).set("left", "0.25")
    lot.find(f"{tag('headerFooter')}/{tag('oddHeader')}").text = "&L&BOur lot list&RPrinted &D"


def change_names(workbook: Node, last: int) -> None:
    """The own sheet's tab after the Lot's, names that belong to a sheet moved on, own print area and own name."""
    names = workbook.find(tag("definedNames"))
    for name in names:
        at = name.get("localSheetId")
        if at is not None and int(at) >= 2:
            name.set("localSheetId", str(int(at) + 1))
        if at == "1" and name.get("name") == "_xlnm.Print_Area":
            name.text = f"'Lot'!$A$1:$N${last}"
    names.append(node(f"<definedName name=\"Dealer_fee\">'{OWN_SHEET}'!$B$3</definedName>"))
    names.append(
        node(f'<definedName name="_xlnm.Print_Area" localSheetId="2">\'{OWN_SHEET}\'!$A$1:$E$42</definedName>')
    )
    view = workbook.find(f"{tag('bookViews')}/{tag('workbookView')}")
    view.set("activeTab", "1")
    view.set("tabRatio", "780")


def change_entry_rules(parts: Parts) -> None:
    """The list of trailers on What-if follows the rows that are gone."""
    for formula in parts.tree("xl/worksheets/sheet3.xml").iter(tag("formula1")):
        formula.text = str(formula.text).replace("Lot!$A$5:$A$2000", f"Lot!$A$5:$A${2000 - len(DELETED)}")


def add_notes(parts: Parts, lot: Node) -> None:
    """Two notes of the office on cells of the Lot."""
    texts = Texts(parts.tree(STRINGS))
    stocks = {texts.of(line[0]): int(line.get("r")) for line in lot.iter(tag("row")) if int(line.get("r")) >= FIRST}
    comments = parts.tree("xl/comments/comment1.xml")
    comments.find(tag("authors")).append(node("<author>office</author>"))
    shapes = parts.tree("xl/drawings/commentsDrawing1.vml")
    namespaces = {"v": "urn:schemas-microsoft-com:vml", "x": "urn:schemas-microsoft-com:office:excel"}
    for shape_id, (stock, (letter, text)) in enumerate(NOTES.items(), start=1102):
        number = stocks[stock]
        words = f'<text><t xml:space="preserve">{text}</t></text>'
        note = node(f'<comment ref="{letter}{number}" authorId="1">{words}</comment>')
        comments.find(tag("commentList")).append(note)
        shape = copy.deepcopy(shapes[-1])
        shape.set("id", f"_x0000_s{shape_id}")
        shape.find(".//x:Row", namespaces).text = str(number - 1)
        shape.find(".//x:Column", namespaces).text = str(column_index_from_string(letter) - 1)
        shapes.append(shape)


if __name__ == "__main__":
    sys.exit(main())
