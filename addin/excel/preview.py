"""The sheet on which Excel's button shows what an import would do, is answered, and says what was done."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tarelot.addin.excel import open_workbook
from tarelot.addin.excel.open_workbook import as_text, sheets_unlocked
from tarelot.workbook_templates.lists.quantities import Decimal
from tarelot.workbook_templates.lot.reading import LotSheet
from tarelot.workbook_templates.updates.plan import Plan, sheet_rows
from tarelot.workbook_templates.updates.words import (
    COLORS,
    DECIMAL_QUESTION,
    HEADING_COLOR,
    HEADINGS,
    IF_POINT,
    NEARLY_THE_SAME,
    SAME_QUESTION,
    UNCERTAIN_DECIMAL,
    PreviewRow,
    amounts,
    in_words_with,
    notes,
    preview_rows,
    says,
    summary,
    without_options,
)

SHEET = "Import preview"
TITLE = "Import of a list, by the button Run main"
YES, NO = "yes", "no"
WHAT_TO_DO = (
    "Nothing is written yet. Type yes into the cream cell and press Run main again to write this into the lot; "
    "with anything else nothing is written."
)
NOTHING_TO_WRITE = "Nothing to write: the lot holds what the list says, or every row is refused."
ANSWER_LABEL, LIST_LABEL, MARK_LABEL = "Write it? Type yes here:", "List", "Mark of this preview"
QUESTION_LABEL = "Answer yes or no here:"
ANSWER, DECIMAL, SAME_KEY, LIST, MARK = "C4", "C5", "C6", "C7", "C8"
"""The cells that the next press reads; questions stand beside their answers."""
TO_ANSWER = "Answer what is asked beside the cream cell and press Run main again to see what the list does then."
LIST_ROW, FIRST_LINE = 7, 10
"""Row of the list's name, and of the first line below all these."""
TOP_LINES = ("A2", "A3")
"""What is said first stands there; more of it below."""
CREAM, QUIET = "#FFFBEF", "#6B7280"
DECIMAL_SIGN, THOUSANDS_SIGN = 3, 4
"""XlApplicationInternational: xlDecimalSeparator, xlThousandsSeparator"""
WIDTHS = (10, 16, 12, 26, 24, 76)
"""Of each column, in characters."""


@dataclass(frozen=True)
class Asked:
    """What a preview was made of, and the answers on it; the mark is empty where nothing waits for an answer.

    ``is_comma`` and ``is_same`` answer the questions of the decimal mark and of names that are nearly the same.
    """

    answer: str = ""
    list_path: str = ""
    mark: str = ""
    is_comma: str = ""
    is_same: str = ""

    @property
    def decimal(self) -> Decimal | None:
        """The list's decimal mark, where the person said it."""
        return {YES: ",", NO: "."}.get(self.is_comma)  # type: ignore[return-value]

    @property
    def same_key(self) -> bool:
        """Whether the person said that names which are nearly the same are one trailer."""
        return self.is_same == YES

    @property
    def unclear(self) -> list[str]:
        """What was typed beside the questions and answers none."""
        return [word for word in (self.is_comma, self.is_same) if word not in ("", YES, NO)]


def mark_of(plan: Plan[LotSheet]) -> str:
    """A short mark of the lot, the list and what importing it does: another one where any of them changed."""
    lot = plan.lot
    typed = [
        {heading: value for heading, value in row.values.items() if (row.number, heading) not in lot.formulas}
        for row in lot.rows
    ]
    whole = repr((typed, lot.columns, lot.last_row, plan.columns, plan.rows, sorted(sheet_rows(plan).items())))
    return hashlib.sha256(whole.encode()).hexdigest()[:16]


def page_of(book: Any) -> Any:
    """The workbook's preview sheet, made behind the others where there is none; a sheet of a person's own is let be."""
    names = {sheet.name.casefold(): sheet for sheet in book.sheets}
    number = 1
    while True:
        name = f"{SHEET} {number}" if number > 1 else SHEET
        sheet = names.get(name.casefold())
        if sheet is None:
            with sheets_unlocked(book):
                return book.sheets.add(name, after=book.sheets[len(book.sheets) - 1])
        if sheet.range("A1").value == TITLE or not any(_flat(sheet.used_range.value)):
            return sheet
        number += 1


def asked(page: Any) -> Asked:
    """What stands on the preview sheet."""
    list_path, mark = (_words(page.range(place).value) for place in (LIST, MARK))
    if not mark:
        return Asked()
    answer, is_comma, is_same = (
        " ".join(_words(page.range(place).value).split()).casefold() for place in (ANSWER, DECIMAL, SAME_KEY)
    )
    return Asked(answer, list_path, mark, is_comma, is_same)


def show(page: Any, plan: Plan[LotSheet], asked: Asked, said: Sequence[str] = ()) -> None:
    """Show what importing a list would do, and ask.

    Args:
        page: The preview sheet.
        plan: The plan.
        asked: The list's file, empty where it is the workbook's own sheet, and the answers that the plan was made with.
        said: What is said first, a line each.
    """
    questions = [
        (place, question, answer if answer in (YES, NO) else "")
        for place, question, answer, words in (
            (DECIMAL, f"{DECIMAL_QUESTION} {IF_POINT}", asked.is_comma, UNCERTAIN_DECIMAL),
            (SAME_KEY, SAME_QUESTION, asked.is_same, NEARLY_THE_SAME),
        )
        if answer in (YES, NO) or says(plan, words)
    ]
    is_open = any(not answer for _, _, answer in questions)
    what_to_do = [WHAT_TO_DO if plan.changes_lot else TO_ANSWER if is_open else NOTHING_TO_WRITE]
    _fill(page, [*said, *what_to_do], asked.list_path, mark_of(plan) if plan.changes_lot or is_open else "")
    if plan.changes_lot:
        _ask(page, ANSWER, ANSWER_LABEL, None, "")
    for place, question, answer in questions:
        _ask(page, place, QUESTION_LABEL, question, answer)
    _show_rows(page, [summary(plan), *notes(plan)], _rows(page, plan))


def show_done(page: Any, plan: Plan[LotSheet], said: Sequence[str]) -> None:
    """Say what was written, with the rows it was."""
    _fill(page, said, "", "")
    _show_rows(page, [*said[len(TOP_LINES) :], summary(plan), *notes(plan)], _rows(page, plan))


def say(page: Any, text: str) -> None:
    """Say one thing, and wait for no answer."""
    _fill(page, [without_options(text)], "", "")


def remind(page: Any, text: str) -> None:
    """Say one thing, and leave the preview and its answer as they are."""
    page.range(TOP_LINES[0]).value = as_text(text)
    page.activate()


def _ask(page: Any, place: str, label: str, question: str | None, answer: str) -> None:
    """A cell for an answer, what to type there before it, and the question behind it."""
    row = page.range(place).row
    page.range((row, 1), (row, 4)).value = [[label, None, as_text(answer) if answer else None, question]]
    page.range(place).color = CREAM


def _fill(page: Any, said: Sequence[str], list_path: str, mark: str) -> None:
    """An empty preview sheet with its head."""
    page.clear()
    page.range("A1").value = TITLE
    for place, line in zip(TOP_LINES, said, strict=False):
        page.range(place).value = as_text(line)
        page.range(place).font.bold = True
    if mark:
        page.range(f"A{LIST_ROW}:{MARK}").value = [
            [LIST_LABEL, None, as_text(list_path) if list_path else None],
            [MARK_LABEL, None, as_text(mark)],
        ]
        page.range(f"A{LIST_ROW}:{MARK}").font.color = QUIET
    for column, wide in enumerate(WIDTHS, 1):
        page.range((1, column)).column_width = wide
    page.range("A1").font.bold = True
    page.range("A1").font.size = 14
    page.activate()


def _show_rows(page: Any, lines: Sequence[str], rows: Sequence[PreviewRow]) -> None:
    """Lines about the whole list, then a table of its rows, each kind in a color of its own."""
    for number, line in enumerate(lines, FIRST_LINE):
        page.range((number, 1)).value = as_text(line)
    top = FIRST_LINE + len(lines) + 1
    table = [HEADINGS, *rows]
    block = page.range((top, 1), (top + len(rows), len(HEADINGS)))
    block.value = [[as_text(cell) if isinstance(cell, str) and cell else cell or None for cell in row] for row in table]
    block.wrap_text = True
    heading = page.range((top, 1), (top, len(HEADINGS)))
    heading.color, heading.font.bold = f"#{HEADING_COLOR}", True
    statuses = [row[2] for row in rows]
    for status, color in COLORS.items():
        if status in statuses:
            first, count = top + 1 + statuses.index(status), statuses.count(status)
            page.range((first, 1), (first + count - 1, len(HEADINGS))).color = f"#{color}"


def _rows(page: Any, plan: Plan[LotSheet]) -> list[PreviewRow]:
    """A line for each trailer or field, with the signs of numbers that Excel shows; on macOS it is not asked."""
    signs = (".", ",")
    if open_workbook.ON_WINDOWS:
        application = page.book.app.api
        signs = (application.International(DECIMAL_SIGN), application.International(THOUSANDS_SIGN))
    return preview_rows(plan, in_words_with(*signs, amounts(plan.lot)))


def _words(value: object) -> str:
    return "" if value is None else str(value)


def _flat(values: Any) -> list[Any]:
    """The values of a range, of whatever shape xlwings hands it over."""
    return [one for value in values for one in _flat(value)] if isinstance(values, list) else [values]
