"""A headless LibreOffice for the tests: one process with a profile of its own, driven over a pipe.

    with Office(extension=path_of_the_oxt) as office:
        office.evaluate(["=LOT_PAYLOAD(A1,B1)"], {"A1": 14_000, "B1": 4_000})   # [10000.0]

Formulas are in the syntax of an .xlsx file, as our workbooks hold them: they are written to a scratch .xlsx, loaded and
recalculated. Values come back as float, str, `""` for an empty cell, or the error's name (`"#NUM!"`, or `"Err:522"` for
those that only LibreOffice has). TRUE and FALSE come back as 1.0 and 0.0: Calc has no boolean value.

Nothing is written outside a temporary folder, and nothing of the person's own LibreOffice is read. A LibreOffice that
is missing or too old fails the test.
"""

from __future__ import annotations

import contextlib
import json
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import threading
import uuid
from pathlib import Path
from types import TracebackType
from typing import Any

from openpyxl import Workbook
from openpyxl.utils import column_index_from_string, coordinate_to_tuple, get_column_letter

from tarelot.addin.libreoffice.install import find_office

SERVER = Path(__file__).with_name("office_server.py")
REQUEST_SECONDS = 300.0  # a hung office must fail the test, not the whole run
QUIT_SECONDS = 30.0
FORMULA_COLUMN = column_index_from_string("ZZ")  # input cells stand to the left of it
ERROR_VALUES = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")

Value = float | str | bool | None
LOCALE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{}</value></prop></item></oor:items>
"""
"""What a profile holds where the person has chosen a locale under Tools, Options, Languages."""


class OfficeError(Exception):
    """LibreOffice could not do what the test asked."""


def office_python(program: Path) -> Path:
    """The Python that can import `uno`: LibreOffice's own, or the system's where the two are packaged together."""
    candidates = [program / "python", program.parent / "Resources" / "python", Path("/usr/bin/python3")]
    for python in candidates:
        if python.exists() and subprocess.run([python, "-c", "import uno"], capture_output=True).returncode == 0:
            return python
    message = f"no Python that can import uno among {', '.join(map(str, candidates))}: install python3-uno"
    raise OfficeError(message)


def ordinary_user() -> dict[str, Any]:
    """Arguments of `subprocess.run` for a program that refuses root, as LibreOffice's unopkg does.

    It starts at the root of the files: LibreOffice's scripts go back to the caller's folder, and root's home, where the
    checkout may stand, is closed to others.
    """
    if os.getuid() != 0:
        return {}
    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": [], "cwd": "/"}


def environment(home: Path) -> dict[str, str]:
    """What LibreOffice finds around it: the Python inside it takes its home from the first one in PATH, and a version
    manager's there leaves every add-in without memory.
    """
    return {**os.environ, "HOME": str(home), "PATH": f"{os.defpath}{os.pathsep}{os.environ.get('PATH', '')}"}


def profile_folder(folder: Path) -> Path:
    """The user profile in a folder of an office's own, all of it such that the ordinary user may write there."""
    profile = folder / "profile"
    profile.mkdir(exist_ok=True)
    folder.chmod(0o755)
    if os.getuid() == 0:
        user = ordinary_user()
        for path in (profile, *profile.rglob("*")):
            os.chown(path, user["user"], user["group"], follow_symlinks=False)
    return profile


def add_extension(unopkg: Path, extension: Path, folder: Path) -> None:
    """Install an extension in the profile of this folder with LibreOffice's own tool."""
    profile = profile_folder(folder)
    copy = Path(shutil.copy(extension, folder))
    copy.chmod(0o644)
    done = subprocess.run(
        [unopkg, "add", "--force", copy, f"-env:UserInstallation={profile.as_uri()}"],
        env=environment(profile),
        capture_output=True,
        text=True,
        **ordinary_user(),
    )
    if done.returncode != 0:
        raise OfficeError(f"unopkg add {extension.name}: {done.stdout}{done.stderr}")


def scratch_workbook(path: Path, formulas: list[str], cells: dict[str, Value] | None = None) -> Path:
    """A workbook of one sheet `Scratch`: the cells, the formulas from ZZ1 down."""
    if not formulas:
        raise ValueError("no formulas to evaluate")
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Scratch"
    for address, value in (cells or {}).items():
        row, column = coordinate_to_tuple(address)
        if column >= FORMULA_COLUMN:
            raise ValueError(f"{address}: input cells stand left of column {get_column_letter(FORMULA_COLUMN)}")
        if value is None:
            continue
        cell = sheet.cell(row, column)
        cell.value = '=""' if value == "" else value
        if isinstance(value, str) and value in ERROR_VALUES:
            cell.data_type = "e"
    for row, formula in enumerate(formulas, start=1):
        sheet.cell(row, FORMULA_COLUMN, formula if formula.startswith("=") else f"={formula}")
    book.save(path)
    return path


class Office:
    """A running LibreOffice, with or without an extension, in a locale where one is named; for a `with` statement.

    One ``with_boxes`` opens its boxes, on a screen that is nowhere but in memory, and waits for their answers; another
    one cancels them by itself.
    """

    def __init__(self, extension: Path | None = None, *, locale: str = "", with_boxes: bool = False) -> None:
        self._extension = extension
        self.locale = locale
        self._unasked = [] if with_boxes else ["--headless"]
        self.installation = find_office()
        self._python = office_python(self.installation.program)
        self._office: subprocess.Popen[bytes] | None = None
        self._server: subprocess.Popen[str] | None = None
        self.version = ""

    def __enter__(self) -> Office:
        self.folder = Path(tempfile.mkdtemp(prefix="office-"))
        try:
            if self.locale:
                chosen = profile_folder(self.folder) / "user" / "registrymodifications.xcu"
                chosen.parent.mkdir(parents=True)
                chosen.write_text(LOCALE.format(self.locale), encoding="utf-8")
            if self._extension is not None:
                add_extension(self.installation.unopkg, self._extension, self.folder)
            self.start()
        except BaseException:
            self.__exit__(None, None, None)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()
        shutil.rmtree(self.folder)

    @property
    def profile(self) -> Path:
        """The folder of this office's user profile."""
        return self.folder / "profile"

    def start(self) -> None:
        """Start the office and wait until it answers."""
        pipe = f"tarelot-{uuid.uuid4().hex}"
        surroundings = environment(self.folder) | {"TMPDIR": str(self.folder), "SAL_USE_VCLPLUGIN": "svp"}
        with (self.folder / "office.log").open("ab") as log:
            self._office = subprocess.Popen(
                [
                    self.installation.soffice,
                    *self._unasked,
                    "--norestore",
                    "--nologo",
                    "--nodefault",
                    "--nofirststartwizard",
                    f"--accept=pipe,name={pipe};urp;",
                    f"-env:UserInstallation={self.profile.as_uri()}",
                ],
                env=surroundings,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
            self._server = subprocess.Popen(
                [self._python, SERVER, pipe],
                env=surroundings,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=log,
                text=True,
                encoding="utf-8",
                start_new_session=True,
            )
        self.version = self._answer("start")

    def stop(self) -> None:
        """End the office; kill what does not end by itself."""
        if self._server is not None and self._server.poll() is None and self.version:
            try:
                self._ask("quit")
            except OfficeError:
                self._server.kill()
        self.version = ""
        for process in (self._server, self._office):
            if process is None:
                continue
            try:
                process.wait(QUIT_SECONDS)
            except subprocess.TimeoutExpired:
                os.killpg(process.pid, signal.SIGKILL)  # soffice is only the parent of the process that works
                process.wait()
        if self._server is not None and self._server.stdin and self._server.stdout:
            with contextlib.suppress(BrokenPipeError):  # a request that a killed server never read
                self._server.stdin.close()
            self._server.stdout.close()
        self._server = self._office = None

    def _ask(self, action: str, **arguments: Any) -> Any:
        if self._server is None or self._server.stdin is None:
            raise OfficeError("the office is not running")
        try:
            self._server.stdin.write(json.dumps({"do": action, **arguments}) + "\n")
            self._server.stdin.flush()
        except BrokenPipeError as error:
            raise OfficeError(f"{action}: the office has ended: {self._log()}") from error
        return self._answer(action)

    def _answer(self, action: str) -> Any:
        assert self._server is not None
        assert self._server.stdout is not None
        timer = threading.Timer(REQUEST_SECONDS, self._server.kill)
        timer.start()
        line = self._server.stdout.readline()
        timer.cancel()
        if not line:
            raise OfficeError(f"{action}: LibreOffice did not answer: {self._log()}")
        reply = json.loads(line)
        if "error" in reply:
            raise OfficeError(f"{action}: {reply['error']}")
        return reply["answer"]

    def _log(self) -> str:
        return (self.folder / "office.log").read_text(encoding="utf-8", errors="replace")[-2000:]

    def evaluate(self, formulas: list[str], cells: dict[str, Value] | None = None) -> list[Value]:
        """Values of many formulas in one sheet.

        Args:
            formulas: Formulas as in an .xlsx file, with or without the leading `=`.
            cells: Input cells that the formulas refer to, such as `{"A1": 14_000}`, left of column ZZ: a number, a
                text, a bool, None (blank), `""` (an empty text, from a formula), an error's name, or a formula.
        """
        path = self.scratch(formulas, cells)
        values = self.column(path, "Scratch", "ZZ", len(formulas))
        path.unlink()
        return values

    def column(self, path: Path, sheet: str, letters: str, last_row: int) -> list[Value]:
        """Values of a column of a workbook from its first row on, after a hard recalculation."""
        values = self._ask("read_range", path=str(path.resolve()), address=f"{sheet}!{letters}1:{letters}{last_row}")
        return [row[0] for row in values]

    def scratch(self, formulas: list[str], cells: dict[str, Value] | None = None) -> Path:
        """The workbook that `evaluate` reads, in this office's folder."""
        return scratch_workbook(self.folder / f"scratch-{uuid.uuid4().hex}.xlsx", formulas, cells)

    def recalculate(self, path: Path) -> dict[str, list[list[Value]]]:
        """Every value of a workbook after a hard recalculation: for each sheet its rows, from A1 on."""
        return dict(self._ask("recalculate", path=str(path.resolve())))

    def edit_and_read(
        self, path: Path, changes: dict[str, Value], reads: list[str], target: Path | None = None
    ) -> list[Value]:
        """Type into some cells as a person would, and read others; the file itself stays as it is.

        Args:
            path: The workbook.
            changes: New value of each cell, such as `{"Lot!F7": 25_900}`; None clears a cell. A formula is in
                LibreOffice's own syntax (`;` between arguments, `Sheet.A1`).
            reads: Cells to read afterwards.
            target: Where to store the edited workbook, if anywhere (.xlsx or .ods).
        """
        stored = None if target is None else str(target.resolve())
        arguments = {"path": str(path.resolve()), "rounds": [changes], "reads": reads, "target": stored}
        return list(self._ask("edit_and_read", **arguments)[0])

    def edit_and_read_often(self, path: Path, rounds: list[dict[str, Value]], reads: list[str]) -> list[list[Value]]:
        """The same several times, one after the other in the same open workbook; a list of values a round."""
        arguments = {"path": str(path.resolve()), "rounds": rounds, "reads": reads, "target": None}
        return list(self._ask("edit_and_read", **arguments))

    def formulas(self, path: Path, reads: list[str]) -> list[str]:
        """The formulas of some cells as LibreOffice shows them."""
        return list(self._ask("formulas", path=str(path.resolve()), reads=reads))

    def dispatch(
        self, path: Path, calls: list[dict[str, Any]], reads: list[str] | None = None, *, read_only: bool = False
    ) -> dict[str, list[Any]]:
        """Dispatch URLs on an open workbook, one after the other, and look at it after each; it is not saved.

        Args:
            path: The workbook.
            calls: Each ``{"url": ..., "arguments": {...}}``, ``{"undo": True}``, ``{"redo": True}``,
                ``{"type": {"Lot!F7": 25_900}}`` or ``{"select": "Lot!A7:C9"}``. A URL with ``"answers": [{"press":
                "Open", "typed": {"File name:": "/a.csv"}}]`` opens boxes, which are answered one after the other.
            reads: Cells whose formulas to read after each call.
            read_only: Open it as a person opens a file that may only be read.

        Returns:
            A list with an entry a call under each of ``said`` (state and result of the dispatch), ``values`` (by
            sheet), ``formulas``, ``undo`` (titles of the steps that can be undone, the last one first), ``beside``
            (the first sheet of each other workbook that the dispatch opened, by title) and ``boxes`` (what each said).
        """
        arguments = {"path": str(path.resolve()), "calls": calls, "reads": reads or [], "read_only": read_only}
        return dict(self._ask("dispatch", **arguments))

    def save_as(self, path: Path, target: Path) -> Path:
        """Load a workbook and store it as `target`; its suffix (.xlsx, .ods, .pdf) says as what."""
        self._ask("convert", path=str(path.resolve()), target=str(target.resolve()))
        return target

    def without_sheet(self, path: Path, sheet: str, target: Path) -> Path:
        """Load a workbook, delete one of its sheets, and store it as `target`."""
        self._ask("without_sheet", path=str(path.resolve()), sheet=sheet, target=str(target.resolve()))
        return target

    def moved_sheet(self, path: Path, sheet: str, name: str, *, columns: int, rows: int, target: Path) -> Path:
        """Load a workbook, put columns and rows in before the first of a sheet, rename it, store all as `target`."""
        arguments = {"path": str(path.resolve()), "sheet": sheet, "name": name, "columns": columns, "rows": rows}
        self._ask("moved_sheet", target=str(target.resolve()), **arguments)
        return target

    def convert(self, path: Path, out_dir: Path, suffix: str) -> Path:
        """Store a workbook in another folder as `xlsx`, `ods` or `pdf`, under the same name."""
        return self.save_as(path, out_dir / f"{path.stem}.{suffix}")

    def time_recalculation(self, workbook: Path | list[str], repeats: int = 5) -> list[float]:
        """Seconds of each of some hard recalculations of a loaded workbook, or of a sheet of formulas.

        Measured beside the office, around the one call that recalculates: a fraction of a millisecond is the pipe's.
        """
        path = workbook if isinstance(workbook, Path) else self.scratch(workbook)
        return list(self._ask("time_recalculation", path=str(path.resolve()), repeats=repeats))

    def time_changes(self, path: Path, rounds: list[dict[str, Value]], reads: list[str]) -> list[list[Any]]:
        """Seconds from each change, typed one after the other in an open workbook, to its answer, and the answer."""
        return list(self._ask("time_changes", path=str(path.resolve()), rounds=rounds, reads=reads))

    def time_alternately(
        self, workbooks: list[Path], modules: dict[str, str], formulas: dict[str, str], repeats: int
    ) -> tuple[list[list[float]], list[list[Value]]]:
        """Seconds of hard recalculations of several workbooks taken in turn, and the values in column A of each.

        Args:
            workbooks: At least one; the last one gets the macros and the formulas.
            modules: Text of each Basic module by name.
            formulas: Formula of each cell of its first sheet, in LibreOffice's own syntax.
            repeats: Number of rounds; the result has one list a round, a figure a workbook.
        """
        paths = [str(path.resolve()) for path in workbooks]
        answer = self._ask("time_alternately", paths=paths, modules=modules, formulas=formulas, repeats=repeats)
        return answer["seconds"], answer["values"]

    def function_names(self, prefix: str) -> list[str]:
        """Names in the function wizard that begin so."""
        return list(self._ask("function_names", prefix=prefix))

    def describe(self, names: list[str]) -> list[dict[str, Any]]:
        """What the function wizard shows for these functions: name, description, category, arguments."""
        return list(self._ask("describe", names=names))
