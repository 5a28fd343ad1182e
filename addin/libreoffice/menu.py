"""The menu Tarelot in Calc: imports a list, reviews the lot, recalculates it, each in the open workbook.

LibreOffice hands over here the URLs ``vnd.tarelot.menu:import``, ``:review``, ``:recalculate`` and ``:add``. Arguments
of a dispatch take the place of the person, for macros and tests: ``Quiet`` shows no box at all, and then ``List`` is
the list's path, or left out for the workbook's own sheet Incoming, and ``Table`` the table to lengthen. The result of a
dispatch says what was done, or why not.

The command ``tarelot`` works on a copy of the workbook and prints what it found; the menu then does it in the workbook
itself. So the plan is proven on the copy before the first cell changes, and everything is one step of the undo.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]
from com.sun.star.frame import (  # type: ignore[import-not-found]
    DispatchResultEvent,
    XDispatchProvider,
    XNotifyingDispatch,
)
from com.sun.star.lang import XInitialization, XServiceInfo  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu_command import MenuError, ask, read_command
from tarelot.addin.libreoffice.menu_dialogs import Dialogs, plan_in_words, totals_in_words
from tarelot.addin.libreoffice.menu_names import (
    ADD_ROWS,
    IMPLEMENTATION,
    IMPORT,
    PROTOCOL,
    RECALCULATE,
    REVIEW,
    SERVICE,
)
from tarelot.addin.libreoffice.menu_review import write_review
from tarelot.addin.libreoffice.menu_rows import add_rows
from tarelot.addin.libreoffice.menu_workbook import import_list, lot_range, recalculate

INCOMING = "Incoming"
STOPPED = "Nothing was done."
# com.sun.star.frame.DispatchResultState
FAILURE, SUCCESS = 0, 1


class Work:
    """One choice from the menu, in one workbook."""

    def __init__(self, document: Any, dialogs: Dialogs | None, list_path: str | None, table: str = "") -> None:
        self.document, self.dialogs, self.list_path, self.table = document, dialogs, list_path, table

    def import_list(self) -> str:
        """Import a list; what was done, in a line."""
        lot_range(self.document)
        chosen = self._chosen_list()
        if chosen is None:
            return STOPPED
        with TemporaryDirectory() as folder:
            copy = self._copy(Path(folder))
            asked = ["import", copy, *chosen, "--json"]
            if self.dialogs is not None:
                planned = self._ask(*asked, "--dry-run", folder=copy.parent)
                if not self.dialogs.agreed(f"{plan_in_words(planned)}\n\nImport this into the workbook?"):
                    return STOPPED
            data = self._ask(*asked, "--yes", folder=copy.parent)
            side_file = Path(data["side_file"]) if data["side_file"] else None
            try:
                import_list(self.document, data)
            except BaseException:
                if side_file:
                    side_file.unlink()
                raise
            said = f"{data['list']}: {totals_in_words(data)}."
            if side_file and side_file.parent == copy.parent:
                side_file = self._kept(side_file)
        return f"{said} Refused rows, to be corrected and imported again: {side_file}" if side_file else said

    def review(self) -> str:
        """Write the sheet Review; what was found, in a line."""
        lot_range(self.document)
        with TemporaryDirectory() as folder:
            copy = self._copy(Path(folder))
            return write_review(self.document, self._ask("review", copy, "--json", folder=copy.parent))

    def recalculate(self) -> str:
        """Calculate anew and save; what was done, in a line."""
        return recalculate(self.document)

    def add_rows(self) -> str:
        """Lengthen the table in sight; what was done, in a line."""
        return add_rows(self.document, self.table)

    def _ask(self, *arguments: str | Path, folder: Path) -> Any:
        return ask(read_command(Path(__file__).parent), *arguments, folder=folder)

    def _chosen_list(self) -> tuple[str | Path, ...] | None:
        """The list as the command takes it: a path, or nothing for the workbook's own sheet; None: no list."""
        if self.dialogs is None:
            return (self.list_path,) if self.list_path else ()
        if self._something_pasted():
            from_sheet = self.dialogs.from_sheet(INCOMING)
            if from_sheet is None:
                return None
            if from_sheet:
                return ()
        path = self.dialogs.list_file()
        return None if path is None else (path,)

    def _something_pasted(self) -> bool:
        """Whether the sheet for lists holds more than the two lines at its top that say what it is for."""
        if not self.document.Sheets.hasByName(INCOMING):
            return False
        cursor = self.document.Sheets.getByName(INCOMING).createCursor()
        cursor.gotoEndOfUsedArea(False)
        return bool(cursor.getRangeAddress().EndRow > 1)

    def _folder(self) -> Path:
        """Where the workbook is; the person's own folder for one that was never saved."""
        location = self.document.getLocation() if self.document.hasLocation() else ""
        return Path(unohelper.fileUrlToSystemPath(location)).parent if location.startswith("file:") else Path.home()

    def _copy(self, folder: Path) -> Path:
        """A copy of the workbook as it stands in the window, under its own name; the workbook does not notice."""
        location = self.document.getLocation() if self.document.hasLocation() else ""
        name = Path(unohelper.fileUrlToSystemPath(location)).stem if location.startswith("file:") else "lot"
        copy = folder / f"{name}.xlsx"
        self.document.storeToURL(
            unohelper.systemPathToFileUrl(str(copy)), (PropertyValue("FilterName", 0, "Calc MS Excel 2007 XML", 0),)
        )
        return copy

    def _kept(self, side_file: Path) -> Path:
        """Move the refused rows of the workbook's own sheet out of the copy's folder, over no other file."""
        number = 1
        while True:
            mark = f" {number}" if number > 1 else ""
            target = self._folder() / f"{side_file.stem}{mark}{side_file.suffix}"
            if not target.exists():
                return Path(shutil.move(side_file, target))
            number += 1


WORKS: dict[str, Callable[[Work], str]] = {
    IMPORT: Work.import_list,
    REVIEW: Work.review,
    RECALCULATE: Work.recalculate,
    ADD_ROWS: Work.add_rows,
}


class Menu(unohelper.Base, XDispatchProvider, XNotifyingDispatch, XInitialization, XServiceInfo):  # type: ignore[misc]
    """The component that LibreOffice asks for the menu's URLs, one for each window."""

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
        work = Work(self.frame.getController().getModel(), dialogs, given.get("List"), given.get("Table", ""))
        try:
            said = WORKS[url.Complete.removeprefix(PROTOCOL)](work)
        except MenuError as error:
            if dialogs is not None:
                dialogs.warn(str(error))
            return FAILURE, str(error)
        if dialogs is not None and said != STOPPED:
            dialogs.tell(said)
        return SUCCESS, said

    def addStatusListener(self, listener: Any, url: Any) -> None:  # noqa: N802
        """Nothing to tell: the entries are always there."""

    def removeStatusListener(self, listener: Any, url: Any) -> None:  # noqa: N802
        """Nothing was told."""

    def getImplementationName(self) -> str:  # noqa: N802
        """The name in the .components file."""
        return IMPLEMENTATION

    def supportsService(self, name: str) -> bool:  # noqa: N802
        """Whether this is the service asked for."""
        return name == SERVICE

    def getSupportedServiceNames(self) -> tuple[str, ...]:  # noqa: N802
        """The one service."""
        return (SERVICE,)


# pythonloader.py looks for this very name
g_ImplementationHelper = unohelper.ImplementationHelper()  # noqa: N816
g_ImplementationHelper.addImplementation(Menu, IMPLEMENTATION, (SERVICE,))
