"""The menu Tarelot in Calc: imports a list, reviews the lot, recalculates it, each in the open workbook.

LibreOffice hands over here the URLs ``vnd.tarelot.menu:import``, ``:use-tickets``, ``:undo-import``, ``:review``,
``:recalculate`` and ``:add``. Arguments of a dispatch take the place of the person, for macros and tests: ``Quiet``
shows no box at all, and then ``List`` is the list's path, or left out for the workbook's own sheet Incoming, ``Sheet``
the sheet of a list's workbook, ``Decimal`` its decimal mark, ``SameKey`` whether names that are nearly the same are one
trailer, ``Preview`` shows the preview and writes nothing, and ``Table`` is the table to lengthen. The result of a
dispatch says what was done, or why not.

Everything is read from the window and planned before the first cell changes, and it is one step of the undo.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.frame import (  # type: ignore[import-not-found]
    DispatchResultEvent,
    XDispatchProvider,
    XNotifyingDispatch,
)
from com.sun.star.lang import DisposedException, XInitialization, XServiceInfo  # type: ignore[import-not-found]
from com.sun.star.uno import Exception as OfficeException  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu import preview
from tarelot.addin.libreoffice.menu.dialogs import Dialogs
from tarelot.addin.libreoffice.menu.importing import INCOMING, KEPT_FOR, Import
from tarelot.addin.libreoffice.menu.lot import file_of, lot_range, read_lot
from tarelot.addin.libreoffice.menu.names import (
    ADD_ROWS,
    IMPLEMENTATION,
    IMPORT,
    PROTOCOL,
    RECALCULATE,
    REVIEW,
    SERVICE,
    UNDO_IMPORT,
    USE_TICKETS,
    MenuError,
)
from tarelot.addin.libreoffice.menu.review import write_review
from tarelot.addin.libreoffice.menu.rows import add_rows
from tarelot.addin.libreoffice.menu.tickets import UseTickets
from tarelot.addin.libreoffice.menu.workbook import NOT_SAVED, field_count, last_import, recalculate, undo
from tarelot.addin.libreoffice.names import Named
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lists.table import SheetsError
from tarelot.workbook_templates.lot.held.lot import Lot, LotError
from tarelot.workbook_templates.lot.review import review
from tarelot.workbook_templates.ooxml.safe_file import backups
from tarelot.workbook_templates.updates.plan import Plan, UpdateError
from tarelot.workbook_templates.updates.words import (
    NEARLY_THE_SAME,
    UNCERTAIN_DECIMAL,
    notes,
    says,
    summary,
    without_options,
)

STOPPED = "Nothing was done."
CLOSED = f"The workbook was closed meanwhile. {STOPPED} Open it, and choose from the menu again."
# com.sun.star.frame.DispatchResultState
FAILURE, SUCCESS = 0, 1
ASKED = "The preview is shown."
USED = "What using the tickets would do"
REFUSALS = (MenuError, LotError, ListError, UpdateError)
"""What says in a line why an entry cannot do its work."""


class Work:
    """One choice from the menu, in one workbook."""

    def __init__(self, context: Any, document: Any, dialogs: Dialogs | None, given: dict[str, Any]) -> None:
        self.document, self.dialogs, self.given = document, dialogs, given
        self.desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)

    def import_list(self) -> str:
        """Import a list, or show what it would do and ask; what was done, in a line."""
        lot_range(self.document)
        if self.dialogs is None:
            return self._import_quietly()
        chosen = self._chosen_list(self.dialogs)
        if chosen is None:
            return STOPPED
        planned = self._planned(self.dialogs, chosen)
        if planned is None:
            return STOPPED
        if not planned.changes_lot and not planned.refused:
            return f"{summary(planned)} There is nothing to write."
        name = planned.lot.name
        asks = (f"Import this into {name}?", "Yes, import")
        if not planned.changes_lot:
            asks = (f"Nothing here goes into {name}. Write the refused rows to a file?", "Yes, write the file")
        return self._offered(self.dialogs, chosen, planned, preview.TITLE, asks)

    def _offered(self, dialogs: Dialogs, chosen: Import, planned: Plan[Lot], title: str, asks: tuple[str, str]) -> str:
        """Show what would be done, and ask beside it, in a question and the words of its yes."""
        dialogs.ask_beside(
            preview.show(self.desktop, planned, title),
            f"{summary(planned)}\n\n{asks[0]}",
            asks[1],
            lambda is_yes: self._answered(chosen, planned, is_yes=is_yes),
        )
        return ASKED

    def use_tickets(self) -> str:
        """Fill the lot from its tickets, or show what that would do and ask; what was done, in a line."""
        chosen = UseTickets(self.document, self.desktop)
        planned = chosen.planned()
        if self.dialogs is None:
            return chosen.carry_out(planned, lambda _: None)
        if not planned.changes_lot:
            return "\n".join([f"{summary(planned)} There is nothing to write.", *notes(planned)])
        asks = (f"Write these figures into {planned.lot.name}?", "Yes, use them")
        return self._offered(self.dialogs, chosen, planned, USED, asks)

    def _import_quietly(self) -> str:
        path, sheet, decimal = (self.given.get(name) or None for name in ("List", "Sheet", "Decimal"))
        same_key = bool(self.given.get("SameKey"))
        chosen = Import(self.document, self.desktop, Path(path) if path else None, sheet, decimal, same_key)
        planned = chosen.planned()
        if self.given.get("Preview"):
            preview.show(self.desktop, planned)
            return f"{summary(planned)} {preview.NOT_YET}"
        return chosen.carry_out(planned, lambda _: None)

    def _planned(self, dialogs: Dialogs, chosen: Import) -> Plan[Lot] | None:
        """What the list would do, once the person said what is not certain in it; None where the person stops."""
        with dialogs.progress("Comparing the list with the lot", 1):
            try:
                planned = chosen.planned()
            except SheetsError as error:
                sheet = dialogs.sheet_of(str(error), error.sheets)
                if sheet is None:
                    return None
                chosen.sheet = sheet
                planned = chosen.planned()
            if uncertain := says(planned, UNCERTAIN_DECIMAL):
                chosen.decimal = dialogs.decimal(uncertain[0])
                if chosen.decimal is None:
                    return None
            if alike := says(planned, NEARLY_THE_SAME):
                chosen.same_key = dialogs.same_trailer(alike[0])
            return chosen.planned() if uncertain or alike else planned

    def _answered(self, chosen: Import, planned: Plan[Lot], *, is_yes: bool) -> None:
        """Do what the preview showed, if the person agrees."""
        if is_yes and self.dialogs is not None:
            dialogs = self.dialogs
            _say(dialogs, *_outcome(lambda: self._import_with_progress(dialogs, chosen, planned)))

    @staticmethod
    def _import_with_progress(dialogs: Dialogs, chosen: Import, planned: Plan[Lot]) -> str:
        with dialogs.progress("Importing", field_count(planned)) as step:
            return chosen.carry_out(planned, step)

    def undo_import(self) -> str:
        """Take the last import back; what was done, in a line."""
        lot_range(self.document)
        found = last_import(self.document)
        if found is None:
            raise MenuError(f"There is no import to take back since this workbook was opened. {self._earlier()}")
        name, later = found
        if later:
            steps = so_many(later, "later step")
            if self.dialogs is None and not self.given.get("LaterToo"):
                raise MenuError(f"{steps} would be taken back with the import of {name}. Nothing was done.")
            if self.dialogs is not None and not self.dialogs.agreed(
                f"What you did after the import of {name} is taken back with it: {steps}.\n\nGo on? "
                "Edit, Redo brings all of it again."
            ):
                return STOPPED
        with self._progress(f"Taking back the import of {name}"):
            undo(self.document, later + 1)
        with_it = f", and {steps} with it" if later else ""
        redo = f"redo {later + 1} times" if later else "redo once"
        return (
            f"The import of {name} was taken back{with_it}.\n\n"
            f"{NOT_SAVED}. To keep this, save as usual. To have it again, {redo} (Ctrl+Y)."
        )

    def _earlier(self) -> str:
        """How an import of an earlier time is taken back: its version before is among the backups of the file."""
        path = file_of(self.document)
        kept = [one for one in backups(path) if one.reason == KEPT_FOR] if path else []
        if not kept:
            return "Close it without saving to have it as it was saved last."
        return f"As it was before the last import it is in {kept[0].path}: open that, and save it under this name."

    def review(self) -> str:
        """Write the sheet Review; what was found, in a line."""
        lot_range(self.document)
        with self._progress("Reviewing the lot"):
            return write_review(self.document, review(read_lot(self.document)).as_data())

    def recalculate(self) -> str:
        """Calculate anew; what was done, in a line."""
        return recalculate(self.document)

    def add_rows(self) -> str:
        """Lengthen the table in sight; what was done, in a line."""
        return add_rows(self.document, self.given.get("Table", ""))

    def _progress(self, text: str) -> AbstractContextManager[object]:
        return self.dialogs.progress(text, 1) if self.dialogs else nullcontext()

    def _chosen_list(self, dialogs: Dialogs) -> Import | None:
        """The list that the person chooses; None where the person stops."""
        if self._something_pasted():
            from_sheet = dialogs.from_sheet(INCOMING)
            if from_sheet is None:
                return None
            if from_sheet:
                return Import(self.document, self.desktop, None)
        workbook = file_of(self.document)
        path = dialogs.list_file(workbook.parent if workbook else None)
        return None if path is None else Import(self.document, self.desktop, path)

    def _something_pasted(self) -> bool:
        """Whether the sheet for lists holds more than the two lines at its top that say what it is for."""
        if not self.document.Sheets.hasByName(INCOMING):
            return False
        cursor = self.document.Sheets.getByName(INCOMING).createCursor()
        cursor.gotoEndOfUsedArea(False)
        return bool(cursor.getRangeAddress().EndRow > 1)


def _outcome(work: Callable[[], str]) -> tuple[int, str]:
    """What some work says it did, or why it did not.

    Nothing may leave here: LibreOffice ends at once, with all that is open, where a choice from a menu fails.
    """
    try:
        return SUCCESS, work()
    except REFUSALS as error:
        return FAILURE, without_options(str(error))
    except DisposedException:
        return FAILURE, CLOSED
    except OfficeException as error:
        traceback.print_exc()
        return FAILURE, f"LibreOffice could not do it: {error.Message or type(error).__name__}"
    except Exception as error:  # noqa: BLE001 - see above; it is said, and stands in LibreOffice's log
        traceback.print_exc()
        return FAILURE, f"Tarelot could not do it, for a fault of its own ({type(error).__name__}: {error})."


def _say(dialogs: Dialogs, state: int, said: str) -> None:
    """Tell the person, unless the window is gone by now."""
    try:
        if state == FAILURE:
            dialogs.warn(said)
        elif said not in (STOPPED, ASKED):
            dialogs.tell(said)
    except OfficeException:
        traceback.print_exc()


WORKS: dict[str, Callable[[Work], str]] = {
    IMPORT: Work.import_list,
    UNDO_IMPORT: Work.undo_import,
    REVIEW: Work.review,
    RECALCULATE: Work.recalculate,
    ADD_ROWS: Work.add_rows,
    USE_TICKETS: Work.use_tickets,
}


class Menu(Named, unohelper.Base, XDispatchProvider, XNotifyingDispatch, XInitialization, XServiceInfo):  # type: ignore[misc]
    """The component that LibreOffice asks for the menu's URLs, one for each window."""

    IMPLEMENTATION, SERVICE = IMPLEMENTATION, SERVICE

    def __init__(self, context: Any, *_arguments: Any) -> None:
        self.context = context
        self.frame: Any = None

    def initialize(self, arguments: tuple[Any, ...]) -> None:
        """Keep the window's frame."""
        if arguments:
            self.frame = arguments[0]

    def queryDispatch(self, url: Any, _target: str, _flags: int) -> Menu | None:  # noqa: N802
        """This object for the URLs of the menu."""
        return self if url.Complete.removeprefix(PROTOCOL) in WORKS else None

    def queryDispatches(self, requests: tuple[Any, ...]) -> tuple[Menu | None, ...]:  # noqa: N802
        """The same for several."""
        return tuple(self.queryDispatch(r.FeatureURL, r.FrameName, r.SearchFlags) for r in requests)

    def dispatch(self, url: Any, arguments: tuple[Any, ...]) -> None:
        """Do what was chosen."""
        self._do(url, arguments)

    def dispatchWithNotification(self, url: Any, arguments: tuple[Any, ...], listener: Any) -> None:  # noqa: N802
        """Do what was chosen, and tell the listener what was done or why not."""
        state, said = self._do(url, arguments)
        if listener is not None:
            listener.dispatchFinished(DispatchResultEvent(self, state, said))

    def _do(self, url: Any, arguments: tuple[Any, ...]) -> tuple[int, str]:
        given = {argument.Name: argument.Value for argument in arguments}
        dialogs = None if given.get("Quiet") else Dialogs(self.context, self.frame)
        state, said = _outcome(lambda: self._work(url.Complete.removeprefix(PROTOCOL), dialogs, given))
        if dialogs is not None:
            _say(dialogs, state, said)
        return state, said

    def _work(self, action: str, dialogs: Dialogs | None, given: dict[str, Any]) -> str:
        return WORKS[action](Work(self.context, self.frame.getController().getModel(), dialogs, given))

    def addStatusListener(self, listener: Any, url: Any) -> None:  # noqa: N802
        """Nothing to tell: the entries are always there."""

    def removeStatusListener(self, listener: Any, url: Any) -> None:  # noqa: N802
        """Nothing was told."""


# pythonloader.py looks for this very name
g_ImplementationHelper = unohelper.ImplementationHelper()  # noqa: N816
g_ImplementationHelper.addImplementation(Menu, IMPLEMENTATION, (SERVICE,))
