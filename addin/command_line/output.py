"""What is printed: marks, lines and tables that survive any terminal, pipe and encoding.

Marks are written as they are. Where the encoding of a stream cannot hold one, the stream's own error handler puts the
plain form in its place: no other code asks about encodings.
"""

from __future__ import annotations

import codecs
import io
import sys
import textwrap
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from tarelot.addin.command_line.command import CommandError

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

WRONG, REFUSED, FINE, UNSURE = "▲", "✗", "✓", "?"
PLAIN = {
    WRONG: "!",
    REFUSED: "x",
    FINE: "+",
    "×": "x",
    "·": "-",
    "…": "...",
    "→": "->",
    "−": "-",
    "–": "-",
    "—": "-",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "′": "'",
    "″": '"',
    "⁄": "/",
    "≤": "<=",
    "≥": ">=",
    "°": " deg",
}
"""The form of a character for an encoding that does not have it."""
HANDLER = "tarelot.plain"
PIPE_WIDTH = 150
TABLE_WIDTH = 110
"""Characters of a line below which a row is printed as a block of lines."""
LEAST_WORDS = 20
LONGEST_NAME = 24
"""Characters of a name that is not broken in a table."""

CAUTION = "Weigh on a certified scale. The certification label governs. Check every rating."


def plain_form(letter: str) -> str:
    """A character in ASCII: its plain form, its base letter, or a question mark.

    >>> plain_form("▲"), plain_form("é"), plain_form("½"), plain_form("Ж")
    ('!', 'e', '1/2', '?')
    """
    if letter in PLAIN:
        return PLAIN[letter]
    parts = (PLAIN.get(part, part) for part in unicodedata.normalize("NFKD", letter))
    return "".join(part for part in parts if part.isascii()) or "?"


def _put_plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(plain_form, error.object[error.start : error.end])), error.end


def prepare_streams() -> None:
    """Let standard output and error write the plain form of what their encoding cannot hold."""
    codecs.register_error(HANDLER, _put_plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=HANDLER)


def clean(value: object) -> str:
    r"""A text from a file in one line, without what steers a terminal or turns the direction of writing.

    >>> clean("Deck\n\x1b[31m 20\u202e")
    'Deck  [31m 20'
    """
    text = str(value)
    if text.isprintable():
        return text
    kept = (letter for letter in text if unicodedata.category(letter) != "Cf")
    return "".join(letter if letter.isprintable() else " " for letter in kept)


def say(*lines: object) -> None:
    """Print lines, broken only between words where a terminal is too narrow for them."""
    if not sys.stdout.isatty():
        return say_whole(*lines)
    width = console().width
    for line in lines:
        say_whole(*textwrap.wrap(clean(line), width, break_long_words=False, break_on_hyphens=False) or [""])
    return None


def say_whole(*lines: object) -> None:
    """Print lines that are to be copied from the screen, such as a path: the terminal breaks them, not we."""
    for line in lines:
        print(clean(line))


def console() -> Console:
    """Standard output as wide as its terminal; brackets and colons in a text mean nothing."""
    from rich.console import Console

    width = None if sys.stdout.isatty() else PIPE_WIDTH
    return Console(width=width, highlight=False, markup=False, emoji=False)


def agreed(question: str, otherwise: str) -> bool:
    """Whether the person says yes.

    Args:
        question: What is asked.
        otherwise: What ``--yes`` does, for the error where nobody is there.

    Raises:
        CommandError: Nobody is there to be asked.
    """
    from rich.prompt import Confirm
    from rich.text import Text

    if not sys.stdin.isatty():
        raise CommandError(f"nobody is there to be asked: say --yes {otherwise}")
    try:
        return Confirm.ask(Text(question), console=console(), default=False)
    except EOFError:  # the end of input instead of an answer
        say("")
        return False


@contextmanager
def progress(steps: int) -> Iterator[Callable[[str], None]]:
    """A bar on standard error that is gone at the end; the function it gives is told each step as it begins."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    text = TextColumn("{task.description}", markup=False)
    columns = (SpinnerColumn("line"), text, BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task("", total=steps)

        def step(what: str) -> None:
            bar.update(task, description=clean(what), advance=1)

        yield step


@dataclass(frozen=True)
class Column:
    """A column of what is printed.

    Attributes:
        heading: Its heading.
        kind: ``name`` says which row it is; ``figure``, and ``fact`` in words, are never broken; ``words`` take what
            room is left.
        unit: Of a figure.
    """

    heading: str
    kind: Literal["name", "figure", "fact", "words"]
    unit: str = ""


WHOLE = ("figure", "fact")


def print_rows(columns: Sequence[Column], rows: Sequence[Sequence[str | Text]]) -> None:
    """Print a table, or on a narrow terminal one block of lines a row; figures are whole in both.

    Args:
        columns: Names first, then figures, then words.
        rows: Cells as text; a blank one is ``""``.
    """
    from rich.text import Text

    out = console()
    texts = [[cell if isinstance(cell, Text) else Text(clean(cell)) for cell in row] for row in rows]
    widest = [max([len(_heading(column)), *(row[at].cell_len for row in texts)]) for at, column in enumerate(columns)]
    if out.width >= max(TABLE_WIDTH, _least_width(columns, widest)):
        out.print(_table(columns, widest, texts))
    else:
        for row in texts:
            _print_block(out, columns, row)


def amount(value: float | str | bool, unit: str = "") -> str:
    """A weight with thousands; blank and error values as they are.

    Args:
        value: The weight.
        unit: Its unit, where the column's heading names none.

    >>> amount(14_040.0), amount(6_368.0, "kg"), amount("", "kg")
    ('14,040', '6,368 kg', '')
    """
    return f"{value:,.0f} {unit}".rstrip() if isinstance(value, float) else str(value)


def _heading(column: Column) -> str:
    return f"{column.heading} {column.unit}".strip()


def _least_width(columns: Sequence[Column], widest: Sequence[int]) -> int:
    """The width below which a table would break a figure, borders and gaps included."""
    least = {"name": LONGEST_NAME, "words": LEAST_WORDS}
    widths = (min(wide, least.get(column.kind, wide)) for column, wide in zip(columns, widest, strict=True))
    return sum(width + 3 for width in widths) + 1


def _table(columns: Sequence[Column], widest: Sequence[int], rows: Sequence[Sequence[Text]]) -> Table:
    from rich.table import Table

    table = Table(header_style="bold", pad_edge=False)
    for column, wide in zip(columns, widest, strict=True):
        whole = column.kind in WHOLE or (column.kind == "name" and wide <= LONGEST_NAME)
        table.add_column(
            _heading(column),
            justify="right" if column.kind == "figure" else "left",
            no_wrap=whole,
            overflow="fold",
            ratio=1 if column.kind == "words" else None,
        )
    for row in rows:
        table.add_row(*row)
    return table


def _print_block(out: Console, columns: Sequence[Column], row: Sequence[Text]) -> None:
    """Names in the first line, figures with their headings below, as many on a line as fit, then the words."""
    from rich.text import Text

    cells = [(column, cell) for column, cell in zip(columns, row, strict=True) if cell.plain]
    names = [cell for column, cell in cells if column.kind == "name"]
    out.print(Text("  ").join(names), style="bold", overflow="fold")
    line = Text()
    for figure in (_with_heading(column, cell) for column, cell in cells if column.kind in WHOLE):
        if line and len(line) + len(figure) + 4 > out.width:
            out.print(Text("  ") + line, soft_wrap=True)
            line = Text()
        line = Text("  ").join([line, figure]) if line else figure
    if line:
        out.print(Text("  ") + line, soft_wrap=True)
    for column, cell in cells:
        if column.kind == "words":
            for part in cell.wrap(out, out.width - 2, overflow="fold"):
                part.rstrip()
                out.print(Text("  ") + part, soft_wrap=True)


def _with_heading(column: Column, cell: Text) -> Text:
    """A figure between its heading and its unit, in its own color."""
    from rich.text import Text

    parts = [Text(column.heading), cell, Text(column.unit)]
    return Text(" ").join(part for part in parts if part)
