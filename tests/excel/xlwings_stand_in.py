"""xlwings' own path of a worksheet function's call, on a machine without Windows and without Excel.

    functions = load_udf_module()
    functions.call("LOT_PAYLOAD", [15_000, 8_600])            # 6400.0, both given as cells
    functions.call("LOT_TOTAL", [2, 12_000], typed=True)      # the figures typed into the formula
    functions.call("LOT_CONFLICT_COUNT", [[[0, 5, "ok"]]])    # a list of rows is a block of cells

Nothing here was run in Excel. Stood in for, as small as xlwings asks: the modules of pywin32 (`pythoncom`,
`pywintypes`, `win32com` and so on), the Windows half of `ctypes`, and Excel's Range, Worksheet, Workbook and
Application objects.
Real, as shipped by the library: the decorators and their argument checks, the COM server's `CallUDF`, `call_udf`, the
reading of cells (blanks, error codes, dates, blocks), the writing of results, `generate_vba_wrapper` and `import_udfs`.

Taken from the published description of COM and of Excel's object model, not from a running Excel: a number in a cell is
a double; a block's `Value` is a tuple of rows and a single cell's a scalar; an empty cell is None; an error is the
integer 0x800A0000 + its CVErr number; an argument left out is DISP_E_PARAMNOTFOUND.
"""
# ruff: noqa: N802  (names are COM's and Excel's)

from __future__ import annotations

import contextlib
import ctypes
import importlib
import io
import sys
import types
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

MODULE = "tarelot.addin.excel.lot_functions"


class ComCode(int):
    """A number that COM hands over as it is: not the figure of a cell."""


MISSING = ComCode(-2147352572)  # DISP_E_PARAMNOTFOUND, 0x80020004: an argument left out
RANGE_ID = "{00020846-0000-0000-C000-000000000046}"  # Excel's type library: the Range object
ERROR_CODES = {
    name: ComCode(number - 0x80000000 + 0x000A0000)
    for name, number in {  # XlCVError of Excel's object model
        "#NULL!": 2000,
        "#DIV/0!": 2007,
        "#VALUE!": 2015,
        "#REF!": 2023,
        "#NAME?": 2029,
        "#NUM!": 2036,
        "#N/A": 2042,
        "#GETTING_DATA": 2043,
        "#SPILL!": 2045,
        "#CONNECT!": 2046,
        "#BLOCKED!": 2047,
        "#UNKNOWN!": 2048,
        "#FIELD!": 2049,
        "#CALC!": 2050,
    }.items()
}
STOOD_IN = (
    "pythoncom",
    "pywintypes",
    "win32api",
    "win32con",
    "win32event",
    "win32gui",
    "win32process",
    "win32timezone",
    "win32com",
    "win32com.client",
    "win32com.server",
    "win32com.server.dispatcher",
    "win32com.server.policy",
    "win32com.server.util",
)


class Dispatch:
    """A COM object as pywin32 hands it to a server: known by the type of object behind it."""

    def __init__(self, behind: object, kind: str, type_id: str) -> None:
        self.behind, self.kind, self.iid = behind, kind, type_id

    def GetTypeInfo(self) -> Dispatch:
        return self

    def GetTypeAttr(self) -> Dispatch:
        return self

    def GetDocumentation(self, member: int) -> tuple[str]:
        assert member == -1
        return (self.kind,)


class ComError(Exception):
    """Stands in for pywintypes.com_error."""

    hresult = 0


@dataclass
class Application:
    """Excel's Application object, as far as xlwings asks; keeps what `MacroOptions` was told."""

    Version: str = "16.0"
    Hwnd: int = 1
    descriptions: dict[str, dict[str, Any]] = field(default_factory=dict)

    def MacroOptions(self, macro: str, **options: Any) -> None:
        self.descriptions[macro] = options


class Components:
    """The modules of a workbook's VBA project; keeps the text of each imported one."""

    def __init__(self) -> None:
        self.imported: list[str] = []

    def __call__(self, name: str) -> str:
        raise ComError(name)

    def Remove(self, name: str) -> None:
        raise AssertionError(name)

    def Import(self, path: str) -> None:
        self.imported.append(Path(path).read_text())


class Book:
    """A workbook with one sheet."""

    Name = "lot.xlsm"
    Worksheets = (types.SimpleNamespace(Name="Lot"),)

    def __init__(self) -> None:
        self.Application = Application()
        self.VBProject = types.SimpleNamespace(VBComponents=Components())
        self.dispatch = Dispatch(self, "_Workbook", "{000208DA-0000-0000-C000-000000000046}")


class Cells:
    """Excel's Range object over fixed values."""

    def __init__(self, rows: Sequence[Sequence[object]], book: Book) -> None:
        self._rows = tuple(tuple(row) for row in rows)
        self.Row = self.Column = 1
        self.Rows = types.SimpleNamespace(Count=len(self._rows))
        self.Columns = types.SimpleNamespace(Count=len(self._rows[0]))
        self.Count = self.Rows.Count * self.Columns.Count
        self.Worksheet = types.SimpleNamespace(Name="Lot", Parent=book)
        self._oleobj_ = Dispatch(self, "Range", RANGE_ID)

    @property
    def Value(self) -> object:
        return self._rows[0][0] if self.Count == 1 else self._rows


def in_cell(value: object) -> object:
    """A value as a cell's COM value: whole numbers are doubles too, an error's name becomes its code."""
    if isinstance(value, str) and value in ERROR_CODES:
        return ERROR_CODES[value]
    return float(value) if isinstance(value, int) and not isinstance(value, bool | ComCode) else value


@dataclass
class UdfModule:
    """Our worksheet functions as xlwings' COM server calls them."""

    module: types.ModuleType
    server: Any
    udfs: types.ModuleType
    book: Book

    def call(self, name: str, cells: Sequence[object], *, typed: bool = False) -> object:
        """What the cell would show.

        Args:
            name: Worksheet name.
            cells: A value a parameter, a list of rows for a block of cells; None is an empty cell, `"#NUM!"` an error,
                MISSING an argument left out; trailing ones may simply not be given.
            typed: Whether the values stand in the formula itself and not in cells.
        """
        parameters = getattr(self.module, name).__xlfunc__["args"]
        arguments = [self._argument(cell, typed) for cell in cells]
        arguments += [MISSING] * (len(parameters) - len(arguments))
        caller = Cells([[None]], self.book)._oleobj_
        return self.server.CallUDF(MODULE, name, arguments, self.book.dispatch, caller)

    def vba(self, workbook: str = "lot.xlsm") -> str:
        """The VBA text that xlwings writes into a workbook for all functions."""
        text = io.StringIO()
        self.udfs.generate_vba_wrapper(MODULE, self.module, text, types.SimpleNamespace(Name=workbook))
        return text.getvalue()

    def import_into_workbook(self) -> Book:
        """A workbook after xlwings' "Import Functions"."""
        book = Book()
        with contextlib.redirect_stdout(io.StringIO()):
            self.udfs.import_udfs(MODULE, book)
        return book

    def _argument(self, cell: object, typed: bool) -> object:
        """A value as VBA's Array(...) hands it over: a Range object, or the bare value."""
        if cell is MISSING:
            return MISSING
        rows = [[in_cell(value) for value in row] for row in cell] if isinstance(cell, list) else [[in_cell(cell)]]
        if not typed:
            return Cells(rows, self.book)._oleobj_
        return tuple(tuple(row) for row in rows) if isinstance(cell, list) else rows[0][0]


def load_udf_module() -> UdfModule:
    """Our functions, loaded with xlwings as it loads itself on Windows.

    From then on, this process's `xlwings` and functions' module are the ones loaded here.
    """
    importlib.import_module("xlwings")  # what it draws in must be imported as on this system
    importlib.import_module("asyncio")
    _forget("xlwings", MODULE)
    with _as_on_windows():
        xlwings = importlib.import_module("xlwings")
        assert xlwings.has_pywin32, "xlwings did not take its Windows path"
        assert xlwings.func is importlib.import_module("xlwings.udfs").xlfunc
        com_server = importlib.import_module("xlwings.com_server")
        module = importlib.import_module(MODULE)
    return UdfModule(module, com_server.XLPython(), sys.modules["xlwings.udfs"], Book())


def _forget(*names: str) -> None:
    """Take modules, with those inside them, out of the list of imported ones."""
    for loaded in list(sys.modules):
        if any(loaded == name or loaded.startswith(f"{name}.") for name in names):
            del sys.modules[loaded]


@contextlib.contextmanager
def _as_on_windows() -> Iterator[None]:
    """The platform's name, pywin32 and the Windows half of ctypes, for the time of an import."""
    platform, py_dll = sys.platform, ctypes.PyDLL
    anything = types.SimpleNamespace
    sys.modules.update(_pywin32())
    ctypes.oledll = anything(ole32=anything(CLSIDFromString=lambda text, target: 0))  # type: ignore[attr-defined]
    ctypes.windll = anything()  # type: ignore[attr-defined]
    ctypes.PyDLL = lambda path: anything(PyCom_PyObjectFromIUnknown=anything())  # type: ignore[assignment, misc]
    sys.platform = "win32"
    try:
        yield
    finally:
        sys.platform, ctypes.PyDLL = platform, py_dll  # type: ignore[misc]
        del ctypes.oledll, ctypes.windll  # type: ignore[attr-defined]
        for name in STOOD_IN:
            del sys.modules[name]


def _pywin32() -> dict[str, types.ModuleType]:
    """pywin32's modules, holding only what xlwings asks of them on this path."""
    modules = {name: types.ModuleType(name) for name in STOOD_IN}
    for name, module in modules.items():
        parent, _, own = name.rpartition(".")
        if parent:
            setattr(modules[parent], own, module)

    def unwrap(variant: object) -> object:
        """Ours are none of the server's own objects."""
        raise ComError(variant)

    def dispatch(given: Any, **names: object) -> object:
        """The object behind, as win32com.client.Dispatch wraps it."""
        return given.behind if isinstance(given, Dispatch) else given

    def no_type_library(*args: object, **options: object) -> None:
        """There is no Excel whose type library could be read; xlwings goes on without."""
        raise ComError(args)

    modules["pythoncom"].__dict__.update(
        __file__="pythoncom.dll",
        IID_IDispatch="IDispatch",
        TypeIIDs={"IDispatch": Dispatch},
        CoInitialize=lambda: None,
        ole_error=ComError,
    )
    modules["pywintypes"].__dict__.update(
        IID=str, com_error=ComError, error=ComError, TimeType=type("TimeType", (), {})
    )
    modules["win32process"].__dict__.update(GetWindowThreadProcessId=lambda handle: (0, handle))
    modules["win32com.server.util"].__dict__.update(unwrap=unwrap)
    modules["win32com.client"].__dict__.update(
        Dispatch=dispatch,
        gencache=types.SimpleNamespace(EnsureModule=no_type_library),
        **{name: type(name, (), {}) for name in ("CDispatch", "CoClassBaseClass", "DispatchBaseClass", "DispatchEx")},
    )
    return modules
