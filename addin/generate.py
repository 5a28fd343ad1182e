"""Everything in the tree that is written from the lists: run by ``make generate``, compared by ``make check``.

python -m tarelot.addin.generate           write
python -m tarelot.addin.generate --check   say what is out of date, exit 1 if anything is
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.addin.excel import render
from tarelot.addin.libreoffice.build import build
from tarelot.calc.registry import FUNCTIONS
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.sheets.measuring.sheet import legend_table

ROOT = Path(__file__).parent.parent
READY = ROOT / "workbook_templates" / "ready"
README = ROOT / "README.md"
FUNCTIONS_MARKS = ("<!-- functions: written by make generate -->", "<!-- end of functions -->")
LETTERS_MARKS = ("<!-- letters: written by make generate -->", "<!-- end of letters -->")


def ready_files(folder: Path) -> None:
    """Write what a person without Python downloads: finished workbooks, and the extension for LibreOffice."""
    workbook.write_new(folder / "tarelot-lot-us.xlsx", US)
    workbook.write_new(folder / "tarelot-lot-metric.xlsx", METRIC)
    workbook.write_demo(folder / "tarelot-demo.xlsx")
    build(folder / "tarelot.oxt")


def function_table() -> str:
    """The functions as a table for the README."""
    lines = ["| function | what it gives | source |", "|---|---|---|"]
    for function in FUNCTIONS:
        parameters = ", ".join(p.name if p.required else f"[{p.name}]" for p in function.parameters)
        lines.append(f"| `{function.name}({parameters})` | {function.help} | {function.source} |")
    return "\n".join(lines)


def readme() -> str:
    """The README with its tables written anew: the functions, and the letters of the drawing."""
    text = README.read_text(encoding="utf-8")
    for (begin, end), table in ((FUNCTIONS_MARKS, function_table()), (LETTERS_MARKS, legend_table())):
        head, _, rest = text.partition(begin)
        _, _, tail = rest.partition(end)
        text = f"{head}{begin}\n{table}\n{end}{tail}"
    return text


def generated(folder: Path) -> dict[Path, bytes]:
    """Every generated file with what it must hold."""
    ready_files(folder)
    files = {READY / path.name: path.read_bytes() for path in sorted(folder.iterdir())}
    files[README] = readme().encode()
    files[Path(render.TARGET)] = render.rendered().encode()
    return files


def main() -> int:
    """Write the files, or compare them."""
    with TemporaryDirectory() as folder:
        files = generated(Path(folder))
    stale = [path for path, content in files.items() if not path.exists() or path.read_bytes() != content]
    for path in stale:
        print(f"{'out of date' if '--check' in sys.argv else 'written'}: {path.relative_to(ROOT)}")
        if "--check" not in sys.argv:
            path.write_bytes(files[path])
    return int(bool(stale) and "--check" in sys.argv)


if __name__ == "__main__":
    sys.exit(main())
