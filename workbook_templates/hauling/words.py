"""Figures in words: what stands in a sentence of What-if, Match or Card. FIXED, since no program reads it otherwise."""

from __future__ import annotations

from tarelot.calc.cells.expression import Expression, Given
from tarelot.calc.cells.spreadsheet import ABS, FIXED, IF, INT, ISNUMBER, LEFT, LEN, MOD, ROUND
from tarelot.workbook_templates.basis.units import Units


def thousands(amount: Expression, places: int = 0) -> Expression:
    """A number with thousands; a text as it is, where a person typed one."""
    return IF(ISNUMBER(amount), FIXED(amount, places), amount)


def percent(share: Expression, places: int = 1) -> Expression:
    """A share as so many percent; a text as it is."""
    return IF(ISNUMBER(share), FIXED(share * 100, places) & "%", share)


def distance(length: Expression, units: Units) -> Expression:
    """A number in the long unit, in feet and whole inches where that is the foot."""
    if units.name != "us":
        return FIXED(length, 2) & " m"
    inches = ROUND(ABS(length) * 12, 0)
    return IF(length < 0, "-", "") & INT(inches / 12) & " ft " & MOD(inches, 12) & " in"


def cut(text: Expression, most: int, instead: Given) -> Expression:
    """A text, cut where it has more letters than ``most``, with what is said of the rest."""
    return IF(LEN(text) > most, LEFT(text, most) & instead, text)
