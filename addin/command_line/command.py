"""What commands share."""

from __future__ import annotations

import argparse


def command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, summary: str, example: str
) -> argparse.ArgumentParser:
    """Add one command; its help ends with an example."""
    return commands.add_parser(name, help=summary, description=summary, epilog=f"Example: {example}")


def plain(text: str) -> str:
    """Text from a file without what would steer a terminal."""
    return "".join(letter if letter.isprintable() else " " for letter in text)
