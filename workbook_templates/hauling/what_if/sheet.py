"""The What-if sheet: will this trailer carry that machine behind that truck, with a live side view.

``what_if_rows`` says where the figures come from, ``what_if_values`` and ``what_if_answers`` what is answered,
``drive_on_sheet`` sweeps the machine onto the trailer, ``side_view`` draws it. Everything is a plain formula.
"""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Border, PatternFill, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import Places, table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.drive_on.profile import FORWARD
from tarelot.workbook_templates.hauling.drive_on.sweep import POSITIONS
from tarelot.workbook_templates.hauling.questions import CAUTION, NOT_CHECKED, OVERLOOKED_IN, WRONG
from tarelot.workbook_templates.hauling.side_view import chart
from tarelot.workbook_templates.hauling.side_view.lines import BLUE, ORANGE
from tarelot.workbook_templates.hauling.what_if import answers as what_if_answers
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if import values as what_if_values
from tarelot.workbook_templates.hauling.what_if.answers import OPEN, Answer, Section
from tarelot.workbook_templates.hauling.what_if.rows import (
    CHOICE_CELLS,
    FIGURES,
    GROUPS,
    MACHINE,
    PLACE,
    TRAILER,
    TRUCK,
    Figure,
)
from tarelot.workbook_templates.hauling.what_if.values import Values
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.sheets import machines, trucks

SHEET = what_if_rows.SHEET
ANSWER_ROW, CHART_CELL, CAPTION_ROW = 8, "A10", 28
WIDTHS = dict(zip("ABCDEFGHIJ", (28, 13, 12, 60, 2, 31, 15, 10, 15, 9), strict=True))
FORMATS = {"figure": style.FIGURE, "angle": style.ANGLE, "gap": "0.0", "whole": "0", "share": style.SHARE, "text": "@"}
CAUTIONS = (
    "Weigh truck, trailer and machine on a certified scale: no figure here is better than those typed in.",
    "The certification labels of trailer and truck govern, and every rating on the parts themselves.",
    "The makers' instructions, the law of each state on the way and licensed practice come before this sheet.",
    "Drive on slowly and straight, parking brake set, tail on stands or blocks, someone watching from the side.",
    "The driver answers for the load: check the tie-downs before leaving and on the way (49 CFR 392.9).",
)
CREAM = DifferentialStyle(fill=PatternFill(bgColor=style.TYPED), border=Border(bottom=Side("thin", color=style.LINE)))
"""The look of cells to type over: a rule and not their own fill, since some programs read a filled empty cell as 0."""
WORDS = {TRAILER: ("Make", "Model", "Body"), MACHINE: ("Maker",), TRUCK: ("Maker",)}
"""Columns that say what was chosen."""
Choices = tuple[object, object, object]


@dataclass(frozen=True)
class Shown:
    """What other sheets need to show the same.

    Attributes:
        values: The named values on the Drive-on sheet.
        answers: The answers by key.
        rows: Row of each answer by key.
        captions: Cells of the drawing's words.
    """

    values: Values
    answers: dict[str, Answer]
    rows: dict[str, int]
    captions: dict[str, str]


def write(sheet: Worksheet, helper: Worksheet, choices: Choices, units: Units) -> Shown:
    """Write What-if and the helper sheet that it reads.

    Args:
        sheet: The empty sheet named What-if.
        helper: The empty sheet named Drive-on.
        choices: Stock number, machine and truck chosen at first; None for none.
        units: The workbook's units.
    """
    values = Values(units)
    what_if_values.window_values(values, units)
    for group in (TRAILER, MACHINE, TRUCK):
        found = formula(what_if_rows.row_of_choice(group), what_if_rows.choice_places())
        values.add(f"row of {group}", _on_what_if(found, group))
    answers = what_if_answers.sections(values, units)
    rows = what_if_answers.answer_rows(answers)
    captions = _captions(values, rows)
    used = what_if_rows.used_elsewhere()
    read = used | {"to_center": used["to_centre"], "direction": f'"{FORWARD}"'}
    drive_on_sheet.write(helper, read, units, values.more)
    style.title(
        sheet,
        "What-if",
        "Choose a trailer, a machine and a truck in the cream cells. Type over any figure on the right: the typed one "
        "wins.",
    )
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    _write_choices(sheet, choices, values)
    _write_figures(sheet, values, units)
    _write_answers(sheet, answers, rows, units)
    _write_summary(sheet, rows)
    _write_captions(sheet, captions, units)
    chart.add(sheet, helper, CHART_CELL, units)
    _set_up_page(sheet, units, max(rows.values()))
    by_key = {answer.key: answer for section in answers for answer in section.answers}
    return Shown(values, by_key, rows, captions)


def _listed(figure: Figure, values: Values, units: Units) -> str:
    """Formula: the figure as its list has it."""
    row = Places(row=values.elsewhere(f"row of {figure.group}"))
    return formula(what_if_rows.from_list(figure, Cell("row"), units), row)


def _none(group: str) -> str:
    """Formula: whether nothing of a group is chosen."""
    return formula(what_if_rows.no_choice(group), what_if_rows.choice_places())


def _on_what_if(formula: str, group: str) -> str:
    """A formula about a choice, for the other sheet."""
    return formula.replace(CHOICE_CELLS[group], f"'{SHEET}'!{CHOICE_CELLS[group]}")


def _captions(values: Values, rows: dict[str, int]) -> dict[str, str]:
    """Add the words below the drawing; their cells."""
    at = {key: f"'{SHEET}'!$B${row}" for key, row in rows.items()}
    c = values.cell
    band = (
        f'IF({c("band")}="ok","Blue: its centre of gravity may be "&{at["centre_from"]}&" to "&'
        f'{at["centre_to"]}&" from the deck\'s front edge.",'
        f'IF({c("band")}="","","Blue: no place for its centre."))'
    )
    values.add("caption band", band)
    return {name: values.elsewhere(f"caption {name}") for name in ("band", "tight")}


def _write_captions(sheet: Worksheet, captions: dict[str, str], units: Units) -> None:
    """The words below the side view, each in its line's color."""
    texts = (
        (f"={captions['band']}", BLUE),
        (f"={captions['tight']}", ORANGE),
        (
            "To scale, both ways alike; drawbar, wheels and outline sketched. Tightest place found to "
            f"{OVERLOOKED_IN * units.short_per_inch:g} {units.short} over {POSITIONS} positions; rigid, "
            "on level ground.",
            style.QUIET,
        ),
    )
    for row, (text, color) in enumerate(texts, CAPTION_ROW):
        cell = sheet.cell(row, 1, text)
        cell.font, cell.alignment = style.font(bold=color != style.QUIET, color=color), style.LEFT


def _write_choices(sheet: Worksheet, choices: Choices, values: Values) -> None:
    """The three choices, each with its list and what was found."""
    sources = {
        TRAILER: (lot.SHEET, lot.FIRST_ROW, 2_000, columns.KEY),
        MACHINE: (machines.SHEET, machines.FIRST_ROW, 500, machines.KEY),
        TRUCK: (trucks.SHEET, machines.FIRST_ROW, 500, trucks.KEY),
    }
    _band(sheet, 4, "A", "D", "Choose")
    for (group, (source, first, last, key)), choice in zip(sources.items(), choices, strict=True):
        cell = sheet[CHOICE_CELLS[group].replace("$", "")]
        label = sheet.cell(cell.row, 1, f"{group}, {key.lower()}" if group == TRAILER else group)
        label.font, label.alignment = style.font(bold=True), style.LEFT
        cell.value = choice  # type: ignore[assignment]
        if isinstance(choice, str):
            cell.data_type = "s"
        cell.font, cell.fill, cell.alignment = style.font(size=11, bold=True), style.fill(style.TYPED), style.LEFT
        cell.number_format, cell.border = "@", style.HAIRLINE
        sheet.merge_cells(start_row=cell.row, start_column=2, end_row=cell.row, end_column=3)
        rule = DataValidation(type="list", formula1=f"{source}!$A${first}:$A${last}", allow_blank=True)
        rule.errorStyle, rule.showErrorMessage, rule.showInputMessage = "stop", True, True
        rule.errorTitle, rule.error = "Not taken", f"Choose one that stands on the {source} sheet."
        rule.promptTitle, rule.prompt = group, f"Choose from the {source} sheet."
        rule.add(cell.coordinate)
        sheet.add_data_validation(rule)
        found = sheet.cell(cell.row, 4, f"={_found(group, source, values)}")
        found.font, found.alignment = style.font(color=style.QUIET), style.LEFT


def _found(group: str, source: str, values: Values) -> str:
    """Formula: what was chosen, in words."""
    row, cell = values.elsewhere(f"row of {group}"), CHOICE_CELLS[group]
    table, key = what_if_rows.TABLES[group]
    parts = '&" "&'.join(f"INDEX({table_column(table, word)},{row})" for word in WORDS[group])
    twice = f'IF(SUMPRODUCT(({table_column(table, key)}={cell})*1)>1,"; stands there twice: the first is used","")'
    return (
        f'IF({_none(group)},"choose from the list",'
        f'IF(ISNUMBER({row}),{parts}&{twice},"{WRONG} not on the {source} sheet"))'
    )


def _write_figures(sheet: Worksheet, values: Values, units: Units) -> None:
    """The figures: from the list, typed over, used, and which it is."""
    rows = what_if_rows.figure_rows()
    for group in GROUPS:
        first = next(what_if_rows.members(group))
        _band(sheet, rows[first.key] - 1, "F", "J", group)
        heads = ("proposed" if group == PLACE else "from the list", "typed over", "used", "")
        for letter, text in zip("GHIJ", heads, strict=True):
            cell = sheet[f"{letter}{rows[first.key] - 1}"]
            cell.value, cell.font, cell.alignment = text, style.font(size=9, bold=True), style.RIGHT
    for figure in FIGURES:
        if figure.key == "place":
            proposed = values.elsewhere("proposed")
            listed = f'IF({proposed}="","",{proposed})'
        else:
            listed = _listed(figure, values, units)
        _write_figure(sheet, figure, rows[figure.key], listed, units)
    for group in GROUPS:
        keys = [rows[figure.key] for figure in what_if_rows.members(group)]
        sheet.conditional_formatting.add(
            f"H{min(keys)}:H{max(keys)}", Rule(type="expression", dxf=CREAM, formula=["TRUE"])
        )
    area = f"J{what_if_rows.FIRST_ROW}:J{max(rows.values())}"
    first_cell = f"$J{what_if_rows.FIRST_ROW}"
    sheet.conditional_formatting.add(
        area, Rule(type="expression", dxf=style.CONFLICT, formula=[f'{first_cell}="missing"'])
    )


def _write_figure(sheet: Worksheet, figure: Figure, row: int, formula: str, units: Units) -> None:
    """One figure's row."""
    label = sheet.cell(row, 6, units.heading(figure.label or figure.heading))
    label.font, label.border, label.alignment = style.font(), style.HAIRLINE, style.LEFT
    listed, typed, used, mark = (sheet[f"{letter}{row}"] for letter in "GHIJ")
    listed.value = f"={formula}"
    used.value = f'=IF({typed.coordinate}<>"",{typed.coordinate},{listed.coordinate})'
    lacking = "none" if figure.blank_is_none else "missing"
    choice = "FALSE" if figure.group == PLACE else f"NOT({_none(figure.group)})"
    mark.value = (
        f'=IF({typed.coordinate}<>"","TYPED",IF({listed.coordinate}<>"",'
        f'"{"proposed" if figure.group == PLACE else "list"}",IF({choice},"{lacking}","")))'
    )
    shown = {"number": style.DECIMAL, "offset": style.DECIMAL, "share": style.SHARE, "whole": "0", "text": "@"}
    number_format = "0.00" if figure.key == "place" else "#,##0.0" if "{long}" in figure.heading else shown[figure.kind]
    if number_format == style.DECIMAL:
        number_format = style.FIGURE
    for cell in (listed, used):
        cell.number_format = "General" if figure.kind == "text" else number_format
        cell.fill = style.fill(style.FILLED)
        cell.font, cell.alignment, cell.border = style.font(bold=cell is used), style.RIGHT, style.HAIRLINE
    mark.font, mark.alignment = style.font(size=9, color=style.QUIET), style.LEFT
    sheet.add_data_validation(_typed_rule(figure, typed.coordinate))


def _typed_rule(figure: Figure, cell: str) -> DataValidation:
    """What may be typed over a figure."""
    limits = {
        "number": {"type": "decimal", "operator": "greaterThanOrEqual", "formula1": "0"},
        "whole": {"type": "whole", "operator": "between", "formula1": "1", "formula2": "200"},
        "share": {"type": "decimal", "operator": "between", "formula1": "0.001", "formula2": "0.999"},
        "offset": {"type": "decimal", "operator": "between", "formula1": "-100000", "formula2": "100000"},
        "text": {"type": "textLength", "operator": "between", "formula1": "1", "formula2": "60"},
    }[figure.kind]
    rule = DataValidation(allow_blank=True, **limits)  # type: ignore[arg-type]
    lists = {"hitch": columns.HITCHES, "runs_on": (machines.WHEELS, machines.TRACKS)}
    if figure.key in lists:
        rule = DataValidation(type="list", formula1=f'"{",".join(lists[figure.key])}"', allow_blank=True)
    rule.errorStyle, rule.showErrorMessage = "stop", True
    rule.errorTitle = "Not taken"
    rule.error = "A figure in the unit of its row is needed, or nothing."
    if figure.key in lists:
        rule.error = "Choose from the list."
    elif figure.kind == "text":
        rule.error = "At most 60 characters."
    rule.add(cell)
    return rule


def _write_answers(sheet: Worksheet, found: tuple[Section, ...], rows: dict[str, int], units: Units) -> None:
    """The answers: figure, verdict, words; then the cautions that always hold."""
    for section in found:
        _band(sheet, rows[section.answers[0].key] - 1, "A", "D", section.heading)
        for answer in section.answers:
            _write_answer(sheet, answer, rows[answer.key], units)
    row = max(rows.values()) + 2
    _band(sheet, row, "A", "D", "Before anyone hauls")
    for number, line in enumerate(CAUTIONS, row + 1):
        cell = sheet.cell(number, 1, f"{WRONG} {line}")
        cell.font, cell.alignment = style.font(), style.LEFT
    verdicts = f"C{what_if_rows.FIRST_ROW}:C{max(rows.values())}"
    first = f"$C{what_if_rows.FIRST_ROW}"
    wrong = f'OR(LEFT({first},1)="{WRONG}",{first}="{CAUTION}")'
    sheet.conditional_formatting.add(verdicts, Rule(type="expression", dxf=style.CONFLICT, formula=[wrong]))


def _write_answer(sheet: Worksheet, answer: Answer, row: int, units: Units) -> None:
    """One answer's row."""
    label, figure, verdict, note = (sheet.cell(row, place) for place in range(1, 5))
    at = f"$B${row}"
    label.value, figure.value = units.heading(answer.label), f"={answer.formula}"
    word = answer.verdict.replace("{B}", at) or '""'
    words = answer.note.replace("{B}", at)
    verdict.value = f'=IFERROR(IF({at}="","",{word}),"{WRONG} check")'
    note.value = f'=IFERROR(IF({at}="",{answer.lacking},{words}),"A figure on the right is out of range.")'
    label.font, figure.font = style.font(), style.font(bold=True)
    verdict.font, note.font = style.font(bold=True), style.font(size=9)
    figure.number_format = "General" if answer.kind == "text" else FORMATS[answer.kind]
    figure.fill = style.fill(style.FILLED)
    label.alignment, figure.alignment, verdict.alignment = style.LEFT, style.RIGHT, style.LEFT
    note.alignment = style.LEFT
    for cell in (label, figure, verdict, note):
        cell.border = style.HAIRLINE


def _write_summary(sheet: Worksheet, rows: dict[str, int]) -> None:
    """The answer in one line, below the choices."""
    first, last = what_if_rows.FIRST_ROW, max(rows.values())
    verdicts, marks = f"$C${first}:$C${last}", f"$J${first}:$J${max(what_if_rows.figure_rows().values())}"
    chosen = ",".join(_none(group) for group in CHOICE_CELLS)
    count = f'COUNTIF({verdicts},"{WRONG}*")'
    row = f'MATCH("{WRONG}*",{verdicts},0)'
    begins = f'INDEX($A${first}:$A${last},{row})&": "&INDEX({verdicts},{row})&". "&INDEX($D${first}:$D${last},{row})'
    missing = f'COUNTIF({marks},"missing")'
    notes = f"$D${first}:$D${last}"
    open_rows = f'(COUNTIF({notes},"{OPEN}")+COUNTIF({verdicts},"{NOT_CHECKED}"))'
    label, cell = sheet.cell(ANSWER_ROW, 1, "Answer"), sheet.cell(ANSWER_ROW, 2)
    label.font, label.alignment = style.font(bold=True), style.LEFT
    cell.value = (
        f'=IF(OR({chosen}),"Choose a trailer, a machine and a truck.",IF({count}>0,"NO: "&{count}&'
        f'IF({count}=1," thing is"," things are")&" wrong. "&{begins},'
        f'IF({missing}>0,"Not known: nothing wrong found, but "&{missing}&'
        f'IF({missing}=1," figure is"," figures are")&" missing, marked on the right.",IF({open_rows}>0,'
        f'"Not known: nothing wrong found, but "&{open_rows}&IF({open_rows}=1," answer is"," answers are")&" open.",'
        f'"YES: nothing wrong found. Mind the cautions below."))))'
    )
    cell.font, cell.alignment = style.font(size=12, bold=True, color=style.GLANCE_BAND.band), style.LEFT
    sheet.merge_cells(start_row=ANSWER_ROW, start_column=2, end_row=ANSWER_ROW, end_column=10)
    sheet.row_dimensions[ANSWER_ROW].height = 22
    rule = Rule(type="expression", dxf=style.CONFLICT, formula=[f'LEFT($B${ANSWER_ROW},3)="NO:"'])
    sheet.conditional_formatting.add(f"B{ANSWER_ROW}", rule)


def _band(sheet: Worksheet, row: int, first: str, last: str, text: str) -> None:
    """A band across some columns."""
    for place in range(ord(first), ord(last) + 1):
        cell = sheet[f"{chr(place)}{row}"]
        cell.fill, cell.font = style.fill(style.GIVEN_BAND.band), style.font(bold=True)
        cell.alignment = style.LEFT
    sheet[f"{first}{row}"] = text


def _set_up_page(sheet: Worksheet, units: Units, last_answer: int) -> None:
    """One page's width, landscape."""
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = f"A{ANSWER_ROW + 1}"
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.page_setup.fitToHeight = 1
    bottom = max(last_answer + 2 + len(CAUTIONS), max(what_if_rows.figure_rows().values()))
    sheet.print_area = f"A1:J{bottom}"
