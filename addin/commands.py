"""What every command shares: its help with an example."""

from __future__ import annotations

import argparse


def command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, summary: str, example: str
) -> argparse.ArgumentParser:
    """Add one command; its help ends with an example."""
    return commands.add_parser(name, help=summary, description=summary, epilog=f"Example: {example}")
