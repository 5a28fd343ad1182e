"""Where trailers differ, in the words in which a seller says it to a customer."""

from __future__ import annotations

from collections.abc import Sequence

from tarelot.calc.cells.expression import Cell, Expression, lift
from tarelot.calc.cells.spreadsheet import (
    COUNT,
    FIXED,
    IF,
    INT,
    ISNUMBER,
    LONGEST_LIST,
    MAX,
    MID,
    MIN,
    NOT,
    OR,
    ROUND,
    joined,
    listing,
)
from tarelot.calc.rules.hauling_figures import added
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.compare.lines import LEAST, Amount, Sorted
from tarelot.workbook_templates.hauling.words import distance

Trailers = Sequence[tuple[Cell, Cell, Cell]]
"""Of each trailer its row, blank where it has none; its name; and what of it is compared."""
AND = " and "
SAME, NOT_KNOWN, IN_DOUBT = "all the same", "not known", "in doubt"


def difference(how: Amount | Sorted, trailers: Trailers, compared: Expression, units: Units) -> Expression:
    """What is said of a line. A figure of which ``IN_DOUBT`` is compared is compared with none.

    Args:
        how: How its values differ.
        trailers: The trailers.
        compared: How many of them are there.
        units: The workbook's units.
    """
    return _amounts(how, trailers, compared, units) if isinstance(how, Amount) else _sorted(how, trailers, compared)


def _names(trailers: Trailers, chosen: Sequence[Expression]) -> Expression:
    """The names of those of which something holds; blank where there are none."""
    pairs = zip(trailers, chosen, strict=True)
    return MID(joined([IF(holds, AND & name, "") for (_, name, _), holds in pairs]), len(AND) + 1, LONGEST_LIST)


def _amounts(how: Amount, trailers: Trailers, compared: Expression, units: Units) -> Expression:
    """The foremost, by how much it differs from the last, and of which trailers nothing is known."""
    values = [value for _, _, value in trailers]
    least, most = MIN(*values), MAX(*values)

    def those_at(end: Expression) -> Expression:
        same_as_end = [_rounded(value, how, units).equals(_rounded(end, how, units)) for value in values]
        return _names(trailers, [_if_number(value, same) for value, same in zip(values, same_as_end, strict=True)])

    first, last = (least, most) if how.foremost == LEAST else (most, least)
    apart = ROUND(_rounded(most, how, units) - _rounded(least, how, units), 6)
    doubted = _names(trailers, [value.equals(IN_DOUBT) for value in values])
    is_lacking = [IF(value.equals(IN_DOUBT), False, NOT(ISNUMBER(value))) for value in values]
    pairs = zip(trailers, is_lacking, strict=True)
    lacking = _names(trailers, [_if_number(row, holds) for (row, _, _), holds in pairs])
    known = COUNT(*values)
    said = joined([how.words, those_at(first), ", ", _amount(apart, how, units), f" {how.more} than ", those_at(last)])
    same = IF(known.equals(compared), SAME, "the same")
    in_doubt = IF(doubted.equals(""), "", f"; {IN_DOUBT}: " & doubted)
    tail = IF(lacking.equals(""), "", f"; {NOT_KNOWN}: " & lacking) & in_doubt
    only = "known only of " & _names(trailers, [ISNUMBER(value) for value in values])
    none = IF(lacking.equals(""), IN_DOUBT, NOT_KNOWN & in_doubt)
    return IF(known.equals(0), none, IF(known.equals(1), only & in_doubt, IF(apart.equals(0), same, said) & tail))


def _if_number(asked: Expression, holds: Expression) -> Expression:
    """Whether something holds of what is a number; of nothing else."""
    return IF(ISNUMBER(asked), holds, False)


def _rounded(value: Expression, how: Amount, units: Units) -> Expression:
    """A figure as a person reads it, so that what is said fits what is seen; what differs by less is the same."""
    if how.unit == "long" and units.name == "us":
        return ROUND(value * units.short_per_long, 0) / units.short_per_long
    return ROUND(value, {"long": 2, "short": 1, "degrees": 1}.get(how.unit, 0))


def _amount(apart: Expression, how: Amount, units: Units) -> Expression:
    """By how much, with its unit."""
    if how.unit == "long":
        return distance(apart, units)
    if how.unit == "short":
        return IF(apart.equals(INT(apart)), FIXED(apart, 0), FIXED(apart, 1)) & f" {units.short}"
    if how.unit == "degrees":
        return FIXED(apart, 1) & " degrees"
    return FIXED(apart, 0) & (f" {units.weight}" if how.unit == "weight" else "")


def _sorted(how: Sorted, trailers: Trailers, compared: Expression) -> Expression:
    """Which trailers say which word, and of which nothing is known."""
    if how.are_all:
        unknown = [NOT(OR(*(value.equals(word) for word in how.said))) for _, _, value in trailers]
    else:
        unknown = [value.equals("") for _, _, value in trailers]
    pairs = zip(trailers, unknown, strict=True)
    lacking = _names(trailers, [_if_number(row, holds) for (row, _, _), holds in pairs])
    groups = [IF(lacking.equals(""), "", f"; {NOT_KNOWN}: " & lacking)]
    of_all: Expression = lift("")
    for (word, said), all_of_them in reversed(tuple(zip(how.said.items(), how.of_all, strict=True))):
        holds = [_if_number(row, value.equals(word)) for row, _, value in trailers]
        names = _names(trailers, holds)
        groups.insert(0, IF(names.equals(""), "", f"; {said}" & names))
        of_all = IF(added([IF(one, 1, 0) for one in holds]).equals(compared), all_of_them, of_all)
    words = listing(groups)
    some = IF(words.equals(""), how.otherwise, words)
    return IF(of_all.equals(""), some, of_all)
