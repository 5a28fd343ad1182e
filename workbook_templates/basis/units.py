"""The two unit systems a workbook can be written in; the unit stands in the heading."""

from __future__ import annotations

from dataclasses import dataclass

from tarelot.calc.law import KILOGRAMS_PER_POUND

MILLIMETERS_PER_INCH = 25.4
"""Exact (NIST SP 811)."""
LEGAL_WIDTH_IN = 102.0
"""Greatest width on the national network, 23 CFR 658.15."""


@dataclass(frozen=True)
class Units:
    """Names of the units of weight, short and long lengths, and the legal figures in them."""

    name: str
    weight: str
    short: str
    long: str
    weight_per_pound: float
    short_per_inch: float

    def heading(self, pattern: str) -> str:
        """A heading with this system's unit in place of ``{weight}``, ``{short}`` or ``{long}``.

        >>> METRIC.heading("Deck length ({long})")
        'Deck length (m)'
        """
        return pattern.format(weight=self.weight, short=self.short, long=self.long)

    @property
    def short_per_long(self) -> float:
        """Short lengths in a long one: inches in a foot, millimeters in a meter."""
        return 12.0 if self.long == "ft" else 1000.0

    @property
    def paper(self) -> int:
        """Code of the usual paper (ECMA-376 part 1, 18.3.1.63): letter in the US, A4 elsewhere."""
        return 1 if self.name == "us" else 9

    @property
    def legal_width(self) -> float:
        """Greatest width on the national network in this system's short unit."""
        return round(LEGAL_WIDTH_IN * self.short_per_inch, 6)


US = Units("us", "lb", "in", "ft", 1.0, 1.0)
METRIC = Units("metric", "kg", "mm", "m", KILOGRAMS_PER_POUND, MILLIMETERS_PER_INCH)
SYSTEMS = {units.name: units for units in (US, METRIC)}
