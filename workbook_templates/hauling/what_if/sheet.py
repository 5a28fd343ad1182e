"""The What-if sheet: will this trailer carry that machine behind that truck, with a live side view.

``rows`` says where the figures come from, ``values`` and ``answers`` what is answered; Drive-on sweeps the machine onto
the trailer, ``side_view`` draws it. Here is how it looks. Everything is a plain formula.
"""

from __future__ import annotations

from collections.abc import Mapping

from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, formula
from tarelot.calc.cells.spreadsheet import OR
from tarelot.calc.rules.aboard import RULES
from tarelot.calc.rules.hauling_rule import BROKEN, CAUTIONED
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.number_texts import keep_as_texts
from tarelot.workbook_templates.basis.references import Places
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.asked import OVERLOOKED_IN, WRONG
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.drive_on.sweep import POSITIONS
from tarelot.workbook_templates.hauling.side_view import chart
from tarelot.workbook_templates.hauling.side_view.lines import BLUE, ORANGE
from tarelot.workbook_templates.hauling.what_if import aboard, aboard_block
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.answer import Answer
from tarelot.workbook_templates.hauling.what_if.answers import (
    CAPTIONS,
    WORDS,
    answer_rows,
    expressions,
    places,
    rules_row,
    sections,
)
from tarelot.workbook_templates.hauling.what_if.figure_row import band, highlight, write_figure, write_heads
from tarelot.workbook_templates.hauling.what_if.rows import (
    CHOICE_CELLS,
    FIGURES,
    FIRST_ROW,
    GROUPS,
    MACHINE,
    MISSING,
    PLACE,
    TRAILER,
    TRUCK,
    figure_rows,
    members,
)
from tarelot.workbook_templates.hauling.what_if.values import values
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.sheets import machines, trucks

SHEET = what_if_rows.SHEET
ANSWER_ROW, CHART_CELL, CAPTION_ROW = 8, "A13", 31
WIDTHS = dict(zip("ABCDEFGHIJ", (28, 13, 12, 60, 2, 31, 15, 10, 15, 9), strict=True))
WORDS_HEIGHT = 38.0
"""Of three lines of words below the verdict."""
FORMATS = {"figure": style.FIGURE, "angle": style.ANGLE, "gap": "0.0", "whole": "0", "text": "General"}
CAUTIONS = (
    "Weigh truck, trailer and machine on a certified scale: no figure here is better than those typed in.",
    "The certification labels of trailer and truck govern, and every rating on the parts themselves.",
    "The makers' instructions, the law of each state on the way and licensed practice come before this sheet.",
    "Drive on slowly and straight, heavier end uphill, truck braked, tail on stands or blocks, someone watching.",
    "The driver answers for the load: check the tie-downs before leaving and on the way (49 CFR 392.9).",
)
Choices = tuple[object, object, object]
Typed = float | str | bool
NOTHING: Mapping[str, Typed] = {}


def write(
    sheet: Worksheet, helper: Worksheet, choices: Choices, units: Units, typed: Mapping[str, Typed] = NOTHING
) -> None:
    """Write What-if and the helper sheet that it reads.

    Args:
        sheet: The empty sheet named What-if.
        helper: The empty sheet named Drive-on.
        choices: Stock number, machine and truck chosen at first; None for none.
        units: The workbook's units.
        typed: What is typed over at first, by the figure's key.
    """
    drive_on_sheet.write(helper, _from_drive_on(units), units, values(units))
    style.title(
        sheet,
        "What-if",
        "Choose a trailer, a machine and a truck in the cream cells. Type over any figure on the right: the typed one "
        "wins.",
    )
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    _write_choices(sheet, choices)
    keep_as_texts(sheet, [*CHOICE_CELLS.values(), *aboard.name_cells()])
    _write_figures(sheet, units)
    aboard_block.write(sheet, units)
    _write_answers(sheet, units)
    _write_rules(sheet, units)
    _write_summary(sheet)
    _write_captions(sheet, units)
    chart.add(sheet, helper, CHART_CELL, units)
    own = places(units)
    for key, value in typed.items():
        sheet[own[what_if_rows.typed(key).key].replace("$", "")] = value
    read = Places(all_places(units) | own | what_if_rows.typed_in(_figure_rows()))
    for key, expression in expressions(units).items():
        sheet[own[key].replace("$", "")] = f"={formula(expression, read)}"
    _set_up_page(sheet, units)


def all_places(units: Units) -> Places:
    """The cells of What-if and Drive-on as other sheets refer to them, and what else their expressions read."""
    return Places(_from_drive_on(units) | drive_on_sheet.places(units, values(units), elsewhere=True))


def _from_drive_on(units: Units) -> Places:
    """What the expressions of Drive-on read beside each other."""
    typed = what_if_rows.typed_in(_figure_rows(), f"'{what_if_rows.SHEET}'!")
    return Places(places(units, elsewhere=True) | asked.written(units) | typed)


def _figure_rows() -> dict[str, int]:
    """The row of each figure that may be typed over, of what is also aboard too."""
    return {**figure_rows(), **aboard.rows()}


def _write_captions(sheet: Worksheet, units: Units) -> None:
    """The words below the side view, each in its line's color."""
    step = f"{OVERLOOKED_IN * units.short_per_inch:g} {units.short}"
    sheet[f"A{CAPTION_ROW + len(CAPTIONS)}"] = (
        f"To scale, both ways alike; drawbar, wheels and outline sketched. Tightest place found to {step} over "
        f"{POSITIONS} positions; rigid, on level ground."
    )
    for row, color in enumerate((BLUE, ORANGE, style.QUIET), CAPTION_ROW):
        cell = sheet.cell(row, 1)
        cell.font, cell.alignment = style.font(bold=color != style.QUIET, color=color), style.LEFT


def _write_choices(sheet: Worksheet, choices: Choices) -> None:
    """The three choices, each with its list and what was found."""
    sources = {
        TRAILER: (lot.SHEET, lot.FIRST_ROW, 2_000, columns.KEY),
        MACHINE: (machines.SHEET, machines.FIRST_ROW, 500, machines.KEY),
        TRUCK: (trucks.SHEET, machines.FIRST_ROW, 500, trucks.KEY),
    }
    band(sheet, 4, "A", "D", "Choose")
    for (group, (source, first, last, key)), choice in zip(sources.items(), choices, strict=True):
        cell = sheet[CHOICE_CELLS[group].replace("$", "")]
        label = sheet.cell(cell.row, 1, f"{group}, {key.lower()}" if group == TRAILER else group)
        label.font, label.alignment = style.font(bold=True), style.LEFT
        listed, asks = f"{source}!$A${first}:$A${last}", (group, f"Choose from the {source} sheet.")
        style.choice(sheet, cell.coordinate, listed, asks, choice)
        sheet.merge_cells(start_row=cell.row, start_column=2, end_row=cell.row, end_column=3)
        found = sheet.cell(cell.row, 4)
        found.font, found.alignment = style.font(color=style.QUIET), style.LEFT


def _write_figures(sheet: Worksheet, units: Units) -> None:
    """The figures: from the list, typed over, used, and which it is."""
    rows = figure_rows()
    for group in GROUPS:
        keys = [rows[figure.key] for figure in members(group)]
        write_heads(sheet, keys[0] - 1, group, "proposed" if group == PLACE else "from the list")
        style.cream(sheet, f"H{keys[0]}:H{keys[-1]}")
    for figure in FIGURES:
        write_figure(sheet, figure, rows[figure.key], units)
    highlight(sheet, f"J{FIRST_ROW}:J{max(rows.values())}", Cell("first").equals(MISSING))


def _write_answers(sheet: Worksheet, units: Units) -> None:
    """The answers: figure, verdict, words; then the cautions that always hold."""
    rows = answer_rows(units)
    for section in sections(units):
        band(sheet, rows[section.answers[0].key] - 1, "A", "D", section.heading)
        for answer in section.answers:
            _write_answer(sheet, answer, rows[answer.key], units)
    row = max(rows.values()) + 2
    band(sheet, row, "A", "D", "Before anyone hauls")
    for number, line in enumerate(CAUTIONS, row + 1):
        cell = sheet.cell(number, 1, f"{WRONG} {line}")
        cell.font, cell.alignment = style.font(), style.LEFT
    highlight(sheet, f"C{FIRST_ROW}:C{max(rows.values())}", asked.is_marked(Cell("first")))


def _write_answer(sheet: Worksheet, answer: Answer, row: int, units: Units) -> None:
    """One answer's row."""
    label, figure, verdict, note = (sheet.cell(row, place) for place in range(1, 5))
    label.value = units.heading(answer.label)
    label.font, figure.font = style.font(), style.font(bold=True)
    verdict.font, note.font = style.font(bold=True), style.font(size=9)
    figure.number_format = FORMATS[answer.kind]
    figure.fill = style.fill(style.FILLED)
    label.alignment, figure.alignment, verdict.alignment = style.LEFT, style.RIGHT, style.LEFT
    note.alignment = style.LEFT
    for cell in (label, figure, verdict, note):
        cell.border = style.HAIRLINE


def _write_rules(sheet: Worksheet, units: Units) -> None:
    """Every rule with its state and where its limit is from."""
    first = rules_row(units)
    band(sheet, first, "A", "D", "Every rule that is asked")
    for row, rule in enumerate(RULES, first + 1):
        asks, state, source = sheet.cell(row, 1, rule.asks), sheet.cell(row, 3), sheet.cell(row, 4, rule.source)
        sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=2)
        asks.font, state.font, source.font = style.font(size=8), style.font(size=9, bold=True), style.font(size=8)
        asks.alignment = Alignment(horizontal="left", vertical="center", indent=1, shrink_to_fit=True)
        state.alignment = source.alignment = style.LEFT
        for cell in (asks, state, source):
            cell.border = style.HAIRLINE
    shown = Cell("first")
    marked = OR(shown.equals(BROKEN), shown.equals(CAUTIONED))
    highlight(sheet, f"C{first + 1}:C{first + len(RULES)}", marked)


def _write_summary(sheet: Worksheet) -> None:
    """The verdict, and below it what is broken, missing and to be minded; all below the choices."""
    label, cell = sheet.cell(ANSWER_ROW, 1, "Verdict"), sheet.cell(ANSWER_ROW, 2)
    label.font, label.alignment = style.font(bold=True), style.LEFT
    cell.font, cell.alignment = style.font(size=20, bold=True, color=style.GLANCE_BAND.band), style.LEFT
    sheet.merge_cells(start_row=ANSWER_ROW, start_column=2, end_row=ANSWER_ROW, end_column=4)
    sheet.row_dimensions[ANSWER_ROW].height = 30
    # Enter behind the last choice leads here, and it must stay here: people's own formulas read it.
    answers_area = f"B{ANSWER_ROW}:B{ANSWER_ROW + len(WORDS)}"
    style.fills_itself(sheet, answers_area, "The answer fills itself. Choose in the cells above.")
    for name, place in WORDS.values():
        said = sheet[place.replace("$", "")]
        label = sheet.cell(said.row, 1, name)
        label.font, said.font = style.font(bold=True), style.font(size=9)
        label.alignment = said.alignment = style.WRAP
        sheet.merge_cells(start_row=said.row, start_column=2, end_row=said.row, end_column=9)
        sheet.row_dimensions[said.row].height = WORDS_HEIGHT
    highlight(sheet, f"B{ANSWER_ROW}", asked.says_no(Cell("first")))


def _set_up_page(sheet: Worksheet, units: Units) -> None:
    """One page's width, landscape."""
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = f"A{ANSWER_ROW + 1}"
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.page_setup.fitToHeight = 2
    bottom = max(rules_row(units) + len(RULES), aboard.last_row())
    sheet.print_area = f"A1:J{bottom}"
