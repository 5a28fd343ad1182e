"""The command ``tarelot``: what a person runs. Heavy parts are imported only by the command that needs them."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from importlib.metadata import version

from tarelot.addin.command_line import functions, new, review, setup, stored, update
from tarelot.addin.command_line.command import Parser, State, reason, refuse_missing, state, unchanged
from tarelot.addin.command_line.hauling import card, compare, match
from tarelot.addin.command_line.incoming import command as incoming
from tarelot.addin.command_line.incoming import tickets
from tarelot.addin.command_line.output import clean, prepare_streams
from tarelot.workbook_templates.ooxml.leftovers import own_folder

FAMILIES = (new, review, incoming, tickets, update, stored, match, compare, card, functions, setup)
"""In the order of the overview."""
REFUSED = 2


def program() -> int:
    """Run the command of this process; what the process does beside it is set here."""
    # openpyxl writes through lxml where that happens to be there, which hides a full disk in an error of its own.
    os.environ.setdefault("OPENPYXL_LXML", "False")
    sys.unraisablehook = _unraisable
    with ExitStack() as stack:
        with suppress(OSError):  # a command that needs such a folder says that none can be made
            # What libraries write for a while goes there too, so that the next run finds what a killed one left.
            tempfile.tempdir = str(stack.enter_context(own_folder()))
        return main()


def _unraisable(given_up: sys.UnraisableHookArgs) -> None:
    """Say nothing of a file that fails again while it is given up: the first failure is said already."""
    if not isinstance(given_up.exc_value, OSError):
        sys.__unraisablehook__(given_up)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and return its exit status: 0, 1 where it found what a person must look at, 2 for an error."""
    prepare_streams()
    before: State = {}
    try:
        chosen = _parser().parse_args(arguments)
        before = state(chosen)
        refuse_missing(chosen)
        status = int(chosen.run(chosen))
        sys.stdout.flush()
    except BrokenPipeError:  # nobody reads on, as with `tarelot review lot.xlsx | head`
        _settle_output()
        return _refused("the output was cut off", before) if before else REFUSED
    except (ValueError, OSError, RuntimeError) as error:
        _settle_output()
        return _refused(reason(error), before)
    except KeyboardInterrupt:
        return _refused("stopped", before)
    return status


def _refused(why: str, before: State) -> int:
    """Say in one line what is wrong and what became of the files."""
    end = "" if why.endswith("?") else "."
    print(f"tarelot: {clean(why.rstrip('.'))}{end} {clean(unchanged(before))}", file=sys.stderr)
    return REFUSED


def _settle_output() -> None:
    """Leave nothing to be written at the end that cannot be written."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> Parser:
    """All commands with their help."""
    parser = Parser(prog="tarelot", description="The lot workbook and its worksheet functions.", allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"tarelot {version('tarelot')}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    for family in FAMILIES:
        family.add_parsers(commands)

    def overview(_: argparse.Namespace) -> int:
        parser.print_help()
        return REFUSED

    parser.set_defaults(run=overview, reads=(), changes=lambda _: ())
    return parser
