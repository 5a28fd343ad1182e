"""An import in the open workbook: what is asked for, what it would do, and doing it."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.lists import pasted_list, properties, read_list, write_refused
from tarelot.addin.libreoffice.menu.lot import file_of, read_lot
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.addin.libreoffice.menu.rows import left_short
from tarelot.addin.libreoffice.menu.workbook import TO_KEEP, hidden_rows, import_list
from tarelot.workbook_templates.lists.quantities import Decimal
from tarelot.workbook_templates.lists.table import free_side_file
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.ooxml.leftovers import FOLDER, owned
from tarelot.workbook_templates.ooxml.safe_file import keep
from tarelot.workbook_templates.updates.doubts import GO_PAST
from tarelot.workbook_templates.updates.fixed_ranges import grown
from tarelot.workbook_templates.updates.plan import Plan, plan, sheet_rows
from tarelot.workbook_templates.updates.words import summary

INCOMING = "Incoming"
"""The workbook's own sheet for a list."""
KEPT_FOR = "import"
"""In the name of a version that is kept: what came after it."""


def keep_version(document: Any) -> Path | None:
    """Keep the workbook as it stands in the window among the backups of its file; where, or None where it has no file.

    Raises:
        MenuError: The folder of the backups cannot be written.
    """
    path = file_of(document)
    if path is None or not path.exists():
        return None
    try:
        if not document.isModified():
            return keep(path, path, KEPT_FOR)
        with tempfile.TemporaryDirectory(prefix=owned(FOLDER)) as folder:  # a class, as `Undisturbed` says
            version = Path(folder) / path.name
            form = next((argument.Value for argument in document.getArgs() if argument.Name == "FilterName"), "")
            document.storeToURL(unohelper.systemPathToFileUrl(str(version)), properties(FilterName=form))
            return keep(path, version, KEPT_FOR)
    except OSError as error:
        raise MenuError(f"the version before cannot be kept ({error.strerror or error}): nothing was done.") from error


def before(kept: Path) -> str:
    """Where the version before is kept."""
    return f"The version before: {kept}."


def afterwards(document: Any, planned: Plan[Lot]) -> str:
    """How what was written is kept or taken back, and whether it is in sight; or that nothing was written."""
    if not planned.changes_lot:
        return "The lot is as it was."
    hidden = hidden_rows(document, planned)
    if not hidden:
        return TO_KEEP
    return f"{TO_KEEP}\n\nNot in sight on {planned.lot.sheet}, by a filter or hidden: {hidden:,} of the rows written."


@dataclass
class Import:
    """A list to be imported into an open workbook.

    Attributes:
        document: The workbook.
        desktop: LibreOffice's desktop.
        path: The list's file; None for what is pasted into the workbook's own sheet.
        sheet: The sheet of a list's workbook, where a person chose one.
        decimal: The list's decimal mark, where a person said it.
        same_key: Whether a person said that names which are nearly the same are one trailer.
    """

    document: Any
    desktop: Any
    path: Path | None
    sheet: str | None = None
    decimal: Decimal | None = None
    same_key: bool = False

    def planned(self) -> Plan[Lot]:
        """What importing the list would do to the lot as it stands in the window.

        Raises:
            MenuError, LotError, ListError, UpdateError: The lot or the list cannot be read, or not imported as a whole.
        """
        lot = read_lot(self.document)
        if self.path:
            table = read_list(self.desktop, self.path, self.sheet, self.decimal)
        else:
            table = pasted_list(self.document, INCOMING, self.decimal)
        return plan(lot, table, same_key=self.same_key)

    def carry_out(self, planned: Plan[Lot], step: Callable[[int], None]) -> str:
        """Do what was planned; what was done, in a line.

        Args:
            planned: The plan.
            step: Told how many fields are written.

        Raises:
            MenuError: The workbook is not as it was when the plan was made, or does not take a value.
            ListError: The refused rows cannot be written. In each case the workbook is as it was before.
        """
        now = plan(read_lot(self.document), planned.table, same_key=self.same_key)
        if now.rows != planned.rows or sheet_rows(now) != sheet_rows(planned):
            raise MenuError("The workbook was changed since the list was compared with it: choose Import a list again.")
        kept, side_file = self._written(now, step)
        noted = [f"{note[0].upper()}{note[1:]}." for note in now.notes if note.startswith(GO_PAST)]
        lines = [summary(now), *noted, *left_short(self.document, grown(now)), afterwards(self.document, now)]
        if kept:
            lines.append(before(kept))
        if side_file:
            lines.append(f"Refused rows, to be corrected and imported again: {side_file}")
        return "\n\n".join(lines)

    def _written(self, now: Plan[Lot], step: Callable[[int], None]) -> tuple[Path | None, Path | None]:
        """Write what was planned; the version before and the file of the refused rows, each None where there is none.

        Where it cannot be written, neither of them stays.
        """
        kept = keep_version(self.document) if now.changes_lot else None
        side_file = None
        try:
            side_file = self._refused_rows(now)
            import_list(self.document, now, step)
        except BaseException:
            for made in (kept, side_file):
                if made:
                    made.unlink()
            raise
        return kept, side_file

    def _refused_rows(self, planned: Plan[Lot]) -> Path | None:
        """The file that the refused rows are written to, beside the list; None where there are none."""
        if not planned.refused:
            return None
        beside = self.path or file_of(self.document) or Path.home() / "lot.xlsx"
        side_file = free_side_file(beside, planned.table.form.suffix)
        write_refused(self.desktop, side_file, planned.table, planned.refused)
        return side_file
