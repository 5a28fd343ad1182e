"""``demo``, the demo yard's workbook to look around in, and ``new``, an empty one."""

from __future__ import annotations

import argparse
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.addin.command_line.command import CommandError, Parser, command
from tarelot.addin.command_line.files import out_folder, write_new, write_new_bytes
from tarelot.addin.command_line.output import say, say_whole

DEMO = "tarelot-demo.xlsx"


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the commands to the command line."""
    demo = command(
        commands,
        "demo",
        "write the demo yard's workbook and review it",
        "tarelot demo --out demo",
        changes=lambda chosen: [chosen.out / DEMO],
    )
    demo.add_argument("--out", type=Path, default=Path("demo"), help="folder to write into (default: demo)")
    demo.set_defaults(run=run_demo)

    new = command(
        commands,
        "new",
        "write an empty lot workbook",
        "tarelot new lot.xlsx --units metric",
        changes=lambda chosen: [chosen.file],
    )
    new.add_argument("file", type=Path, help="workbook to write; it must not be there yet")
    new.add_argument("--units", choices=("us", "metric"), default="us", help="lb, in, ft or kg, mm, m (default: us)")
    new.add_argument(
        "--functions",
        choices=("built-in", "add-in"),
        default="built-in",
        help="built-in: plain formulas, nothing to install (default); add-in: cells call the functions by name",
    )
    new.set_defaults(run=run_new)


def run_demo(chosen: argparse.Namespace) -> int:
    """Write the demo yard's workbook and lists, and print the review."""
    from tarelot.addin.command_line.review import print_review
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.sheets import demo_yard

    folder: Path = chosen.out
    with out_folder(folder), TemporaryDirectory() as made:
        path = Path(made) / DEMO
        workbook.write_demo(path)
        kept = [_put(one, folder) for one in (path, *demo_yard.copy_lists(Path(made)))]
    print_review(folder / DEMO)
    first, *lists = kept
    say_whole("", f"Written: {first}", *(f"         {name}" for name in lists))
    say("Open it in any spreadsheet program; nothing needs to be installed.")
    return 0


def _put(made: Path, folder: Path) -> str:
    """Put a file into a folder; one of that name that a person changed is kept beside it. What to say of it."""
    from tarelot.workbook_templates.ooxml.safe_file import replace_file

    content, target = made.read_bytes(), folder / made.name
    if not target.exists():
        write_new_bytes(target, content)
    elif target.read_bytes() != content:

        def write(new: Path) -> None:
            new.write_bytes(content)

        backup = replace_file(target, write, "demo")
        return f"{target} (yours was different: {backup})"
    return str(target)


def run_new(chosen: argparse.Namespace) -> int:
    """Write an empty workbook, never over a file that is there."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.basis.units import SYSTEMS

    path: Path = chosen.file
    if path.suffix.lower() != ".xlsx":
        raise CommandError(f"{path}: the name must end in .xlsx")
    by_name = chosen.functions == "add-in"
    write_new(path, lambda new: workbook.write_new(new, SYSTEMS[chosen.units], by_name=by_name))
    say_whole(f"Written: {path}")
    return 0
