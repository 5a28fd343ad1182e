"""What a calculation refuses, as a small tree with one base."""

from __future__ import annotations


class CalcError(ValueError):
    """Base of every refusal; its text says the parameter, the value, the unit and what is allowed."""


class WrongKind(CalcError):
    """Text where a number belongs, or a number where text belongs."""


class OutOfRange(CalcError):
    """A number outside what the parameter allows, not a number (NaN), or at odds with another parameter."""


class NotInTable(CalcError):
    """A name, letter or size that the table in question does not hold."""


class NotStated(CalcError):
    """Nothing to calculate from: none of the values that could answer is stated."""
