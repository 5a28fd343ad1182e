"""``functions``: the worksheet functions with what each gives."""

from __future__ import annotations

import argparse

from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.output import Column, print_rows


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    functions = command(commands, "functions", "list the worksheet functions", "tarelot functions")
    functions.set_defaults(run=run)


def run(_: argparse.Namespace) -> int:
    """List the worksheet functions."""
    from tarelot.calc.registry import FUNCTIONS

    rows = []
    for function in FUNCTIONS:
        parameters = ", ".join(p.name if p.required else f"[{p.name}]" for p in function.parameters)
        rows.append((f"{function.name}({parameters})", function.help))
    print_rows((Column("Function", "name"), Column("What it gives", "words")), rows)
    return 0
