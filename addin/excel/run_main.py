"""What the button *Run main* of xlwings' add-in does in a lot workbook: it imports a list, in two presses.

The first press writes the sheet `Import preview`; the second one, once `yes` is typed there, carries it out in the open
workbook and keeps the version before among the backups; where a question was answered instead, it shows what the list
does then. The lot and the list are read, planned for and tried by the command's own code, in a copy of the workbook:
what Excel holds is changed last.

On Windows Excel writes the copy (`SaveCopyAs`), so that what was typed and not saved counts too. On macOS xlwings
offers no copy: the workbook must be saved before each press, and no file is asked for.

Run on Linux alone, through xlwings' own code for Windows, with Excel's objects stood in (tests/excel). Nothing here was
run in Excel, on Windows or on macOS.
"""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tarelot.addin.excel import open_workbook, preview
from tarelot.addin.excel.open_workbook import ExcelError, is_so
from tarelot.addin.excel.preview import Asked
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lists.table import free_side_file
from tarelot.workbook_templates.lists.writing import write_list
from tarelot.workbook_templates.lot.reading import LotError, LotSheet, read_lot, read_sheet
from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.safe_file import FileError, keep
from tarelot.workbook_templates.ooxml.splice import PackageError
from tarelot.workbook_templates.sheets import incoming
from tarelot.workbook_templates.updates.apply import left_short, write_applied, writes
from tarelot.workbook_templates.updates.fixed_ranges import Short, lines
from tarelot.workbook_templates.updates.plan import Plan, UpdateError, plan
from tarelot.workbook_templates.updates.words import new_and_changed

ERRORS = (ExcelError, FileError, ListError, LotError, PackageError, UpdateError, OSError)
"""What is said in a line; anything else xlwings itself shows in a box."""
LISTS = "Lists,*.csv;*.txt;*.tsv;*.xlsx;*.xlsm;*.ods,All files,*.*"
HEAD = {(1, 1), (2, 1)}
"""The cells of the sheet Incoming that hold its name and what to do there, by row and column."""
NOTHING_DONE = "Nothing was written: "
SAVE_FIRST = "on macOS the saved file is read; save the workbook (Command+S), then press Run main again"
ANEW = "The workbook, the list or an answer was changed since the preview was made: this is the new one."


def main() -> None:
    """One press of the button, in the workbook that it was pressed in."""
    import xlwings

    press(xlwings.Book.caller())


def press(book: Any) -> None:
    """One press of the button: a preview, or what a preview was answered with ``yes``.

    Args:
        book: The open workbook, an ``xlwings.Book``.
    """
    is_saved = open_workbook.ON_WINDOWS or is_so(book, "Saved", "saved")  # asked first: a new sheet is a change too
    page = preview.page_of(book)
    asked = preview.asked(page)
    if not is_saved:
        preview.remind(page, f"{NOTHING_DONE}{SAVE_FIRST}.")
        return
    try:
        if asked.mark and asked.answer == preview.YES:
            _carry_out(book, page, asked)
        else:
            _preview(book, page, asked)
    except ERRORS as error:
        preview.say(page, f"{NOTHING_DONE}{_line(error)}.")


def _preview(book: Any, page: Any, asked: Asked) -> None:
    """Show what importing the list would do; an answer that is none is said to have done nothing."""
    said = [f'{NOTHING_DONE}"{asked.answer}" was typed, not yes.'] if asked.answer else []
    said += [f'{NOTHING_DONE}"{word}" was typed beside a question, not yes or no.' for word in asked.unclear]
    with own_folder() as folder:
        copy = _copy(book, folder)
        if not asked.mark:
            asked = Asked(list_path=_chosen(book, copy))
        preview.show(page, _planned(copy, asked), asked, said)


def _carry_out(book: Any, page: Any, asked: Asked) -> None:
    """Write what the preview showed, where it still holds; else show the new one."""
    if open_workbook.ON_WINDOWS:  # on macOS it would make the workbook one that is not saved
        page.range(preview.ANSWER).clear_contents()  # so that a backup put back does not answer by itself
    with own_folder() as folder:
        copy = _copy(book, folder)
        planned = _planned(copy, asked)
        if preview.mark_of(planned) != asked.mark or not planned.changes_lot:
            preview.show(page, planned, asked, [ANEW])
            return
        tried = folder / f"tried{copy.suffix}"
        write_applied(planned, tried)  # refuses and proves as the command does
        short = left_short(planned, tried)
        path = Path(book.fullname)
        kept = keep(path, copy, "import")
        side_file = None
        try:
            side_file = _refused_rows(planned, Path(asked.list_path or path))
            open_workbook.write(book, planned, writes(planned))
        except BaseException:
            for made in (kept, side_file):
                if made:
                    made.unlink(missing_ok=True)
            raise
    preview.show_done(page, planned, _done(planned, path, kept, side_file) + _short(short))


def _copy(book: Any, folder: Path) -> Path:
    """A copy of the workbook as it stands in the window, under its own name."""
    copy = folder / str(book.name)
    if open_workbook.ON_WINDOWS:
        book.api.SaveCopyAs(str(copy))
    else:
        shutil.copyfile(book.fullname, copy)
    return copy


def _chosen(book: Any, copy: Path) -> str:
    """The list's file that a person chose; empty where the workbook's own sheet holds a list.

    Raises:
        ExcelError: There is no list.
    """
    pasted = next((sheet.name for sheet in book.sheets if sheet.name.casefold() == incoming.SHEET.casefold()), "")
    if pasted and read_sheet(copy, pasted).keys() - HEAD:
        return ""
    if not open_workbook.ON_WINDOWS:
        raise ExcelError(f"the sheet {incoming.SHEET} is empty: paste the list there, save, and press Run main again")
    found = book.app.api.GetOpenFilename(LISTS, 1, "Choose the list to import")
    if not isinstance(found, str):
        raise ExcelError(f"no list was chosen, and the sheet {incoming.SHEET} is empty")
    return found


def _planned(copy: Path, asked: Asked) -> Plan[LotSheet]:
    """What importing the list would do to the lot in the copy, with what the person answered."""
    path, sheet = (Path(asked.list_path), None) if asked.list_path else (copy, incoming.SHEET)
    return plan(read_lot(copy), read_list(path, sheet, decimal=asked.decimal), same_key=asked.same_key)


def _refused_rows(planned: Plan[LotSheet], beside: Path) -> Path | None:
    """The file beside the list that the refused rows are written to; None where there are none."""
    if not planned.refused:
        return None
    side_file = free_side_file(beside, planned.table.form.suffix)
    write_list(side_file, planned.table, planned.refused)
    return side_file


def _done(planned: Plan[LotSheet], path: Path, kept: Path, side_file: Path | None) -> list[str]:
    """What was done, that it is not saved, and how to take it back."""
    said = [
        f"Done: written into the lot: {new_and_changed(planned.totals)}. Nothing is saved yet: save the workbook to "
        "keep this.",
        "To take it back: close the workbook without saving; once it is saved, close it and type in a terminal: "
        f"tarelot undo {path.name}",
        f"The version before: {kept}",
    ]
    if side_file:
        said.append(f"Refused rows, to be corrected and imported again: {side_file}")
    return said


def _short(found: Sequence[Short]) -> list[str]:
    """Who read fixed rows of the Lot, by the copy: what Excel itself made of them is for the person to look at."""
    return [f"Look at this, unless Excel has widened it by itself: {line}" for line in lines(found)]


def _line(error: Exception) -> str:
    """An error in one line."""
    if isinstance(error, OSError) and error.filename:
        return f"{error.filename}: {error.strerror}"
    return " ".join(str(error).split()).removesuffix(".")
