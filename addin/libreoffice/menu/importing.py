"""An import in the open workbook: what is asked for, what it would do, and doing it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tarelot.addin.libreoffice.menu.lists import pasted_list, read_list, write_refused
from tarelot.addin.libreoffice.menu.lot import file_of, read_lot
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.addin.libreoffice.menu.workbook import import_list
from tarelot.workbook_templates.lists.quantities import Decimal
from tarelot.workbook_templates.lists.table import free_side_file
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import Plan, plan, sheet_rows
from tarelot.workbook_templates.updates.words import summary

INCOMING = "Incoming"
"""The workbook's own sheet for a list."""


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
        side_file = self._refused_rows(now)
        try:
            import_list(self.document, now, step)
        except BaseException:
            if side_file:
                side_file.unlink()
            raise
        said = summary(now)
        return f"{said} Refused rows, to be corrected and imported again: {side_file}" if side_file else said

    def _refused_rows(self, planned: Plan[Lot]) -> Path | None:
        """The file that the refused rows are written to, beside the list; None where there are none."""
        if not planned.refused:
            return None
        beside = self.path or file_of(self.document) or Path.home() / "lot.xlsx"
        side_file = free_side_file(beside, planned.table.form.suffix)
        write_refused(self.desktop, side_file, planned.table, planned.refused)
        return side_file
