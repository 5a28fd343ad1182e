"""The command ``tarelot``: what a person runs. Heavy parts are imported only by the command that needs them."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line import hauling as commands_hauling
from tarelot.addin.command_line import incoming as commands_take_in
from tarelot.addin.command_line.command import command

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from tarelot.workbook_templates.lot.review import Review

CAUTION = "Weigh on a certified scale. The certification label governs. Check every rating."
CONFLICTS_FOUND, REFUSED = 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and return its exit status: 0, 1 where a review found conflicts, 2 for an error."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    if not hasattr(chosen, "run"):
        parser.print_help()
        return REFUSED
    try:
        return int(chosen.run(chosen))
    except (ValueError, OSError, RuntimeError) as error:
        print(f"tarelot: {' '.join(str(error).split())}", file=sys.stderr)
        return REFUSED
    except KeyboardInterrupt:
        print("tarelot: stopped; nothing half done is left behind", file=sys.stderr)
        return REFUSED


def _parser() -> argparse.ArgumentParser:
    """All commands with their help."""
    parser = argparse.ArgumentParser(prog="tarelot", description="The lot workbook and its worksheet functions.")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    demo = command(commands, "demo", "write the demo yard's workbook and review it", "tarelot demo --out demo")
    demo.add_argument("--out", type=Path, default=Path("demo"), help="folder to write into (default: demo)")
    demo.set_defaults(run=run_demo)

    new = command(commands, "new", "write an empty lot workbook", "tarelot new lot.xlsx --units metric")
    new.add_argument("file", type=Path, help="workbook to write; it must not be there yet")
    new.add_argument("--units", choices=("us", "metric"), default="us", help="lb, in, ft or kg, mm, m (default: us)")
    new.add_argument(
        "--functions",
        choices=("built-in", "add-in"),
        default="built-in",
        help="built-in: plain formulas, nothing to install (default); add-in: cells call the functions by name",
    )
    new.set_defaults(run=run_new)

    look = command(
        commands, "review", "list trailers and conflicts; exit 1 when there are any", "tarelot review lot.xlsx"
    )
    look.add_argument("file", type=Path, help="lot workbook")
    look.add_argument("--json", action="store_true", help="print data for machines")
    look.set_defaults(run=run_review)

    functions = command(commands, "functions", "list the worksheet functions", "tarelot functions")
    functions.set_defaults(run=run_functions)

    setup = command(commands, "setup", "install the functions, or check what is installed", "tarelot setup check")
    setup.add_argument("part", choices=("libreoffice", "excel", "check"), help="what to set up, or check")
    setup.add_argument("--out", type=Path, default=Path("tarelot-excel"), help="folder for the Excel files")
    setup.add_argument("--remove", action="store_true", help="remove the functions from LibreOffice")
    setup.set_defaults(run=run_setup)

    commands_take_in.add_parsers(commands)
    commands_hauling.add_parsers(commands)
    return parser


def run_demo(chosen: argparse.Namespace) -> int:
    """Write the demo yard's workbook and lists, and print the review."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.sheets import demo_yard

    folder: Path = chosen.out
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "tarelot-demo.xlsx"
    workbook.write_demo(path)
    lists = demo_yard.copy_lists(folder)
    print_review(path)
    print(f"\nWritten: {path}" + "".join(f"\n         {name}" for name in lists))
    print("Open it in any spreadsheet program; nothing needs to be installed.")
    return 0


def run_new(chosen: argparse.Namespace) -> int:
    """Write an empty workbook, never over a file that is there."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.basis.units import SYSTEMS

    path: Path = chosen.file
    if path.suffix.lower() != ".xlsx":
        message = f"{path}: the name must end in .xlsx"
        raise ValueError(message)
    if path.exists():
        message = f"{path} is there already: choose another name"
        raise ValueError(message)
    workbook.write_new(path, SYSTEMS[chosen.units], by_name=chosen.functions == "add-in")
    print(f"Written: {path}")
    return 0


def run_review(chosen: argparse.Namespace) -> int:
    """Print the review of a workbook; 1 when there are conflicts."""
    found = print_review(chosen.file, as_json=chosen.json)
    return CONFLICTS_FOUND if found.with_conflicts else 0


def print_review(path: Path, *, as_json: bool = False) -> Review:
    """Read a workbook, print its review and return it."""
    from tarelot.workbook_templates.lot.reading import read_lot
    from tarelot.workbook_templates.lot.review import review

    found = review(read_lot(path))
    if as_json:
        print(json.dumps(found.as_data(), indent=2))
        return found
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 150, highlight=False)
    console.print(_review_table(found))
    _print_totals(console, found)
    return found


def _review_table(found: Review) -> Table:
    """The table of trailers; a mark and words go with the colour."""
    from rich.table import Table
    from rich.text import Text

    unit = found.weight_unit
    table = Table(title=None, header_style="bold", row_styles=["", "dim"], pad_edge=False)
    for heading in ("Stock no.", "Trailer"):
        table.add_column(heading, no_wrap=True)
    table.add_column(f"Payload {unit}", justify="right")
    table.add_column(f"Safe {unit}", justify="right")
    table.add_column("Limited by")
    table.add_column(f"Pin {unit}", justify="right")
    table.add_column("Conflicts, and what could not be checked", ratio=1)
    for trailer in found.trailers:
        words = Text(f"▲ {trailer.what_conflicts}" if trailer.conflicts else "", style="bold dark_orange3")
        if trailer.not_checked:
            words.append(
                ("\n" if trailer.conflicts else "") + f"not checked: {trailer.not_checked}", style="not bold grey50"
            )
        amounts = [_amount(value) for value in (trailer.payload, trailer.safe_payload, trailer.pin_weight)]
        table.add_row(
            trailer.stock,
            trailer.trailer,
            amounts[0],
            amounts[1],
            str(trailer.limited_by),
            amounts[2],
            words or Text("ok"),
        )
    return table


def _print_totals(console: Console, found: Review) -> None:
    """The counts and the caution."""
    console.print(
        f"{len(found.trailers)} trailers, {found.with_conflicts} with conflicts, "
        f"{found.not_fully_checked} not fully checked."
    )
    console.print(CAUTION)


def _amount(value: float | str) -> str:
    """A weight with thousands; blank and error values as they are."""
    return f"{value:,.0f}" if isinstance(value, float) else value


def run_functions(_: argparse.Namespace) -> int:
    """List the worksheet functions."""
    from rich.console import Console
    from rich.table import Table

    from tarelot.calc.registry import FUNCTIONS

    table = Table(header_style="bold")
    for heading in ("Function", "What it gives"):
        table.add_column(heading)
    for function in FUNCTIONS:
        parameters = ", ".join(p.name if p.required else f"\\[{p.name}]" for p in function.parameters)
        table.add_row(f"{function.name}({parameters})", function.help)
    Console(width=None if sys.stdout.isatty() else 150, highlight=False).print(table)
    return 0


def run_setup(chosen: argparse.Namespace) -> int:
    """Install the functions where asked, or say what is installed and what is missing."""
    from tarelot.addin.command_line import setup

    lines = {
        "libreoffice": lambda: setup.libreoffice(remove=chosen.remove),
        "excel": lambda: setup.excel(chosen.out),
        "check": setup.check,
    }[chosen.part]()
    print("\n".join(lines))
    return 0
