"""Use tickets: fills the Lot of the open workbook from its Tickets sheet, as an import of a list does."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

from tarelot.addin.libreoffice.menu.importing import Import, afterwards, before
from tarelot.addin.libreoffice.menu.lot import read_lot, table_rows
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.sheets.tickets.columns import TABLE
from tarelot.workbook_templates.updates.plan import Plan
from tarelot.workbook_templates.updates.tickets import inputs_of, use, weighings
from tarelot.workbook_templates.updates.words import notes, summary


class UseTickets(Import):
    """The latest empty weighing of each trailer, to be written into its Scale weight and Empty pin."""

    def __init__(self, document: Any, desktop: Any) -> None:
        super().__init__(document, desktop, None)

    def planned(self) -> Plan[Lot]:
        """What the tickets would do to the lot as both stand in the window.

        Raises:
            MenuError, LotError, UpdateError: There is no lot, or no Tickets, or it cannot be filled.
        """
        lot = read_lot(self.document)
        found = weighings(lot, table_rows(self.document, TABLE, inputs_of(lot.units)))
        return use(lot, found, datetime.date.today()).plan

    def carry_out(self, planned: Plan[Lot], step: Callable[[int], None]) -> str:
        """Do what was planned; what was done, in a line.

        Args:
            planned: The plan.
            step: Told how many fields are written.

        Raises:
            MenuError: The workbook is not as it was when the plan was made, does not take a value, or its version
                before cannot be kept; then nothing is done.
        """
        now = self.planned()
        if now.rows != planned.rows:
            raise MenuError("The workbook was changed since its tickets were looked at: choose Use tickets again.")
        kept, _ = self._written(now, step) if now.changes_lot else (None, None)
        said = [summary(now), afterwards(self.document, now), before(kept) if kept else "", "\n".join(notes(now))]
        return "\n\n".join(filter(None, said))
