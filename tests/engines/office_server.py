"""Runs under LibreOffice's own Python: drives one headless office for tests/office.py.

Reads one JSON request a line on standard input and answers each with one JSON line on standard output. A request is
``{"do": name, ...arguments}``, an answer ``{"answer": value}`` or ``{"error": text}``. Standard library and `uno` only.
"""

from __future__ import annotations

import hashlib
import json
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.document.MacroExecMode import ALWAYS_EXECUTE_NO_WARN
from com.sun.star.sheet import TableFilterField
from com.sun.star.sheet.FilterConnection import AND
from com.sun.star.sheet.FilterOperator import EQUAL
from office_person import Person
from office_values import FROM_TO, range_values, range_values_at_once, set_cell, used_cells, values_of

START_SECONDS = 90.0
KEPT_OPEN = 3
FEW_STEPS = 50
"""Steps that are surely all there to be undone: the program forgets those that are more than a hundred back."""
READING = ("recalculate", "read_range", "edit_and_read", "formulas")
"""Requests for which workbooks stay open; before another one they are closed, for it may look at all that are open."""
FILTERS = {
    "xlsx": "Calc MS Excel 2007 XML",
    "ods": "calc8",
    "pdf": "calc_pdf_Export",
}


def properties(**values: Any) -> tuple[Any, ...]:
    """The values as UNO property values."""
    return tuple(PropertyValue(name, 0, value, 0) for name, value in values.items())


class Server:
    """The requests that tests/office.py can make; each public method is one."""

    def __init__(self, pipe: str) -> None:
        self._context = self._connect(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        self._desktop = self._create("com.sun.star.frame.Desktop")
        self._kept: dict[str, Any] = {}

    @staticmethod
    def _connect(address: str) -> Any:
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        end = time.monotonic() + START_SECONDS
        while True:
            try:
                return resolver.resolve(address)
            except NoConnectException:
                if time.monotonic() > end:
                    raise
                time.sleep(0.05)

    def _create(self, service: str) -> Any:
        return self._context.ServiceManager.createInstanceWithContext(service, self._context)

    def _load(self, path: str, **options: Any) -> Any:
        document = self._desktop.loadComponentFromURL(
            uno.systemPathToFileUrl(path), "_blank", 0, properties(**{"Hidden": True, **options})
        )
        if document is None:
            raise ValueError(f"LibreOffice cannot load {path}")
        return document

    @contextmanager
    def _opened(self, path: str) -> Iterator[Any]:
        """A workbook as its file holds it; the last few stay open for the next request, since loading takes seconds.

        What a request typed is undone. A workbook in which it did more than type a little is closed. A copy is opened,
        for an open workbook is locked and tests go on with theirs.
        """
        content = Path(path).read_bytes()
        key = hashlib.sha256(content).hexdigest()
        document = self._kept.pop(key, None)
        if document is None:
            copy = Path(tempfile.gettempdir(), key).with_suffix(Path(path).suffix)
            copy.write_bytes(content)
            document = self._load(str(copy))
        try:
            yield document
            steps = document.UndoManager.getAllUndoActionTitles()
            if set(steps) <= {"Input"} and len(steps) <= FEW_STEPS:
                for _ in steps:
                    document.UndoManager.undo()
                self._kept[key] = document
        finally:
            if key not in self._kept:
                document.close(True)
        if len(self._kept) > KEPT_OPEN:
            self._kept.pop(next(iter(self._kept))).close(True)

    def close_kept(self) -> None:
        """Close the workbooks that stayed open."""
        while self._kept:
            self._kept.popitem()[1].close(True)

    @staticmethod
    def _store(document: Any, target: str) -> None:
        suffix = target.rpartition(".")[2]
        document.storeToURL(uno.systemPathToFileUrl(target), properties(FilterName=FILTERS[suffix]))

    @staticmethod
    def _cell(document: Any, address: str) -> Any:
        sheet, _, cell = address.rpartition("!")
        return document.Sheets.getByName(sheet).getCellRangeByName(cell)

    def version(self) -> str:
        """Version of the running office."""
        provider = self._create("com.sun.star.configuration.ConfigurationProvider")
        node = provider.createInstanceWithArguments(
            "com.sun.star.configuration.ConfigurationAccess", properties(nodepath="/org.openoffice.Setup/Product")
        )
        return str(node.ooSetupVersion)

    def recalculate(self, path: str) -> dict[str, list[list[Any]]]:
        """Every value of a workbook after a hard recalculation."""
        with self._opened(path) as document:
            document.calculateAll()
            names = document.Sheets.ElementNames
            return {name: range_values_at_once(document, used_cells(document.Sheets.getByName(name))) for name in names}

    def read_range(self, path: str, address: str) -> list[list[Any]]:
        """Values of one range after a hard recalculation."""
        with self._opened(path) as document:
            document.calculateAll()
            return range_values_at_once(document, self._cell(document, address))

    def edit_and_read(
        self, path: str, rounds: list[dict[str, Any]], reads: list[str], target: str | None
    ) -> list[list[Any]]:
        """Values of some cells after typing into others, round by round; the last state is stored as `target`."""
        with self._opened(path) as document:
            values = []
            for changes in rounds:
                for address, value in changes.items():
                    set_cell(self._cell(document, address), value)
                values.append(values_of(document, reads))
            if target is not None:
                self._store(document, target)
            return values

    def dispatch(
        self, path: str, calls: list[dict[str, Any]], reads: list[str], read_only: bool
    ) -> dict[str, list[Any]]:
        """What each of some dispatches on a loaded workbook answers, and every value after each of them.

        A call is ``{"url": ..., "arguments": {...}}``, or ``{"undo": true}`` or ``{"redo": true}`` for a step of the
        workbook's own undo, ``{"type": {address: value}}``, ``{"select": address}``, ``{"store": path}``, or
        ``{"filter": [table, column, text]}``, the column counted from 0, ``{"pivot": [source, first cell]}``, or
        ``{"move": [cells, first cell]}``, what is cut and pasted elsewhere;
        the formulas of ``reads`` are taken after each too. A URL with ``"answers": [{"press": button, "typed": {field:
        text}}]`` opens boxes, which are answered one after the other.
        """
        # In a window, for a sheet's insertion is undone through the window that shows it.
        document = self._load(path, Hidden=False, ReadOnly=read_only)
        try:
            document.calculateAll()  # a file holds 15 digits of a result: before and after must be the same to the last
            steps = [self._step(document, call, reads) for call in calls]
            return {name: [step[name] for step in steps] for name in steps[0]}
        finally:
            document.close(True)

    def _step(self, document: Any, call: dict[str, Any], reads: list[str]) -> dict[str, Any]:
        said, boxes, beside = None, [], {}
        if "answers" in call:
            boxes, beside = self._answered(document, call)
        elif "url" in call:
            event = self._dispatched(document, call)
            said = event and [event.State, event.Result]  # some commands answer nothing
        elif "select" in call:
            cells = self._cell(document, call["select"])
            document.CurrentController.setActiveSheet(cells.Spreadsheet)
            document.CurrentController.select(cells)
        elif "undo" in call:
            document.UndoManager.undo()
        elif "redo" in call:
            document.UndoManager.redo()
        elif "filter" in call:
            self._filter(document, *call["filter"])
        elif name := next((one for one in FROM_TO if one in call), ""):
            FROM_TO[name](*(self._cell(document, address) for address in call[name]))
        elif "store" in call:
            self._store(document, call["store"])
        for address, value in call.get("type", {}).items():
            set_cell(self._cell(document, address), value)
        names = document.Sheets.ElementNames
        return {
            "said": said,
            "values": {name: range_values(used_cells(document.Sheets.getByName(name))) for name in names},
            "formulas": [self._cell(document, address).getFormula() for address in reads],
            "undo": list(document.UndoManager.getAllUndoActionTitles()),
            "beside": {**beside, **self._beside(document)},
            "boxes": boxes,
        }

    def _dispatched(self, document: Any, call: dict[str, Any]) -> Any:
        arguments = properties(**call.get("arguments", {}))
        helper = self._create("com.sun.star.frame.DispatchHelper")
        return helper.executeDispatch(document.CurrentController.Frame, call["url"], "", 0, arguments)

    def _answered(self, document: Any, call: dict[str, Any]) -> tuple[list[str], dict[str, list[list[Any]]]]:
        """What each box said that a choice opened, and the other workbooks that were open before the last answers."""
        person, said, beside = Person(self._create("com.sun.star.awt.Toolkit")), [], {}
        person.chooses(lambda: self._dispatched(document, call))
        for answer in call["answers"]:
            said.append(person.awaits(answer["press"]))
            beside |= self._beside(document, close=False)
            person.presses(answer["press"], answer.get("typed", {}))
        person.ends()
        return said, beside

    def _beside(self, document: Any, *, close: bool = True) -> dict[str, list[list[Any]]]:
        """The first sheet of each other workbook that is open, by the workbook's title; they are closed."""
        found = {}
        components = self._desktop.Components.createEnumeration()
        while components.hasMoreElements():
            other = components.nextElement()
            if other.supportsService("com.sun.star.sheet.SpreadsheetDocument") and other != document:
                found[other.Title] = range_values(used_cells(other.Sheets.getByIndex(0)))
                if close:
                    other.close(True)
        return found

    @staticmethod
    def _filter(document: Any, table: str, column: int, text: str) -> None:
        """Let a table show the rows that hold a text in a column, as its filter's list does."""
        cells = document.DatabaseRanges.getByName(table)
        wanted = TableFilterField(AND, column, EQUAL, False, 0.0, text)
        cells.FilterDescriptor.setFilterFields((wanted,))
        cells.refresh()

    def formulas(self, path: str, reads: list[str]) -> list[str]:
        """The formulas of some cells, as Calc holds them."""
        with self._opened(path) as document:
            return [self._cell(document, address).getFormula() for address in reads]

    def convert(self, path: str, target: str) -> None:
        """Store a workbook as another kind of file."""
        document = self._load(path)
        try:
            self._store(document, target)
        finally:
            document.close(True)

    def without_sheet(self, path: str, sheet: str, target: str) -> None:
        """Store a workbook without one of its sheets, as it is after a person deleted it."""
        document = self._load(path)
        try:
            document.Sheets.removeByName(sheet)
            document.calculateAll()
            self._store(document, target)
        finally:
            document.close(True)

    def moved_sheet(self, path: str, sheet: str, name: str, columns: int, rows: int, target: str) -> None:
        """Store a workbook with columns and rows put in before the first of a sheet, which gets another name."""
        document = self._load(path)
        try:
            page = document.Sheets.getByName(sheet)
            for cells, count in ((page.Columns, columns), (page.Rows, rows)):
                if count:
                    cells.insertByIndex(0, count)
            page.Name = name
            document.calculateAll()
            self._store(document, target)
        finally:
            document.close(True)

    def time_recalculation(self, path: str, repeats: int) -> list[float]:
        """Seconds that each of some hard recalculations of a loaded workbook took."""
        document = self._load(path)
        try:
            document.calculateAll()
            return [self._seconds(document.calculateAll) for _ in range(repeats)]
        finally:
            document.close(True)

    def time_changes(self, path: str, rounds: list[dict[str, Any]], reads: list[str]) -> list[list[Any]]:
        """Seconds that each of some changes took until the cells read were there, then their values."""
        document = self._load(path)
        try:
            document.calculateAll()
            found = []
            for changes in rounds:
                start = time.perf_counter()
                for address, value in changes.items():
                    set_cell(self._cell(document, address), value)
                values = values_of(document, reads)
                found.append([time.perf_counter() - start, *values])
            return found
        finally:
            document.close(True)

    def time_alternately(
        self, paths: list[str], modules: dict[str, str], formulas: dict[str, str], repeats: int
    ) -> dict[str, list[Any]]:
        """Seconds of some hard recalculations of several workbooks, taken in turn, and their values in column A.

        The last workbook gets a Basic library of these modules and then these formulas, by cell.
        """
        documents: list[Any] = []
        try:
            for path in paths:
                documents.append(self._load(path, MacroExecutionMode=ALWAYS_EXECUTE_NO_WARN))
            sheets = [document.Sheets.getByIndex(0) for document in documents]
            self._add_macros(documents[-1], modules)
            for address, formula in formulas.items():
                sheets[-1].getCellRangeByName(address).setFormula(formula)
            for document in documents:
                document.calculateAll()
            seconds = [[self._seconds(document.calculateAll) for document in documents] for _ in range(repeats)]
            columns = [[row[0] for row in range_values(used_cells(sheet))] for sheet in sheets]
            return {"seconds": seconds, "values": columns}
        finally:
            for document in documents:
                document.close(True)

    @staticmethod
    def _add_macros(document: Any, modules: dict[str, str]) -> None:
        libraries = document.BasicLibraries
        if not libraries.hasByName("Standard"):
            libraries.createLibrary("Standard")
        for name, text in modules.items():
            libraries.getByName("Standard").insertByName(name, text)

    @staticmethod
    def _seconds(work: Any) -> float:
        start = time.perf_counter()
        work()
        return time.perf_counter() - start

    def describe(self, names: list[str]) -> list[dict[str, Any]]:
        """What the function wizard shows for the functions of these names."""
        catalogue = self._create("com.sun.star.sheet.FunctionDescriptions")
        return [self._description(catalogue.getByName(name)) for name in names]

    def function_names(self, prefix: str) -> list[str]:
        """Names in the function wizard that begin so."""
        catalogue = self._create("com.sun.star.sheet.FunctionDescriptions")
        return [name for name in catalogue.ElementNames if name.startswith(prefix)]

    @staticmethod
    def _description(entries: Any) -> dict[str, Any]:
        values = {entry.Name: entry.Value for entry in entries}
        arguments = [
            {"name": a.Name, "description": a.Description, "optional": a.IsOptional} for a in values["Arguments"]
        ]
        return {
            "name": values["Name"],
            "description": values["Description"],
            "category": values["Category"],
            "arguments": arguments,
        }

    def quit(self) -> None:
        """End the office."""
        self._desktop.terminate()


def main() -> None:
    """Answer requests until standard input ends or the office is told to quit."""
    server = Server(sys.argv[1])
    print(json.dumps({"answer": server.version()}), flush=True)
    for line in sys.stdin:
        request = json.loads(line)
        action = request.pop("do")
        try:
            if action not in READING:
                server.close_kept()
            answer = {"answer": getattr(server, action)(**request)}
        except Exception:  # noqa: BLE001 - the caller raises it again with this text
            answer = {"error": traceback.format_exc()}
        print(json.dumps(answer), flush=True)
        if action == "quit":
            return


if __name__ == "__main__":
    main()
