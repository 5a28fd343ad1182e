"""What a column of a sheet is: an input that a person fills, or a result that the workbook fills."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

InputKind = Literal["text", "whole", "number", "from zero", "share", "date", "money", "key", "offset"]
ResultKind = Literal[
    "figure", "weight or nothing", "share", "angle", "distance", "year", "text", "verdict", "check", "check text"
]

# Groups of the Lot, in the order of the sheet; the first two are printed.
TRAILER, GLANCE = "Trailer", "At a glance"
WEIGHTS, GEAR, HITCH_END, DECK, TIES = "Weights", "Running gear", "Hitch end", "Deck and ramps", "Tie-down"
FIGURES, CHECKS, HELPERS = "Further figures", "Checks", "Parts of checks"


def _refuse_unknown(heading: str, kind: str, known: tuple[str, ...]) -> None:
    if kind not in known:
        message = f"{heading} is of kind {kind!r}, which is none of {', '.join(known)}"
        raise ValueError(message)


@dataclass(frozen=True)
class Input:
    """A column that a person fills.

    Attributes:
        heading: Heading, with the unit in brackets.
        group: Band it stands under.
        kind: What is typed; ``key`` is a name by which a row is chosen, ``from zero`` a number of
            which 0 says something, ``offset`` one of either sign.
        message: What to type, shown when the cell is chosen.
        choices: The words allowed, for a text.
        width: Column width in characters.
        greatest: Largest whole number, or most characters of a text.
        key: What expressions call it.

    Raises:
        ValueError: The kind is unknown.
    """

    heading: str
    group: str
    kind: InputKind
    message: str
    choices: tuple[str, ...] = ()
    width: float = 11
    greatest: float = 200
    key: str = ""

    def __post_init__(self) -> None:
        _refuse_unknown(self.heading, self.kind, get_args(InputKind))


@dataclass(frozen=True)
class Result:
    """A column that the workbook fills; what it shows is the expression of its key.

    Attributes:
        heading: Heading, with the unit in brackets.
        group: Band it stands under.
        kind: ``check`` is an amount by which something falls short, ``check text`` is ``ok`` or what is wrong.
        note: What it is and by which rule, shown as a note on the heading.
        width: Column width in characters.
        key: What expressions call it.
        is_plain: Whether its formula, which nobody reads, names the cells of its row as AB5: programs open it in half
            the time. Else it names them by their headings.

    Raises:
        ValueError: The kind is unknown.
    """

    heading: str
    group: str
    kind: ResultKind
    note: str
    width: float = 11
    key: str = ""
    is_plain: bool = False

    def __post_init__(self) -> None:
        _refuse_unknown(self.heading, self.kind, get_args(ResultKind))


Column = Input | Result


def given(
    key: str,
    heading: str,
    group: str,
    kind: InputKind,
    message: str,
    choices: tuple[str, ...] = (),
    width: float = 11,
    greatest: float = 200,
) -> Input:
    """An input, its key first."""
    return Input(heading, group, kind, message, choices, width, greatest, key)


def found(
    key: str, heading: str, group: str, kind: ResultKind, note: str, width: float = 11, *, is_plain: bool = True
) -> Result:
    """A result, its key first; its formula names cells unless it is one that people read."""
    return Result(heading, group, kind, note, width, key, is_plain)
