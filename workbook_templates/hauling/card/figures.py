"""The trailer on the Card: its name and its figures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarelot.calc.cells.formulas import Call, Cell, cell_formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.hauling.card.cells import CHECK, CardCells
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.hauling.what_if.sheet import SHEET
from tarelot.workbook_templates.lot import columns

TEXT = "text"
"""Stands for the number format of words."""


@dataclass(frozen=True)
class Figure:
    """A figure of the trailer: what the page calls it, its formula and its number format."""

    label: str
    formula: str
    number_format: str = style.FIGURE


class CardFigures(CardCells):
    """The formulas of the trailer's name and figures."""

    def title(self) -> str:
        """The page's title."""
        return f'IF(OR({self.there(TRAILER)},NOT({self.none(TRAILER)})),{self.name(TRAILER)},"No trailer chosen")'

    def subtitle(self) -> str:
        """Which trailer it is."""
        parts = [f'"Stock no. "&{self.listed(TRAILER, columns.KEY)}']
        for heading, before in (("Model year", ""), ("Body", ""), ("VIN", "VIN ")):
            found = self.listed(TRAILER, heading)
            parts.append(f'IF({found}="","","  ·  {before}"&{found})')
        words = f'IFERROR({"&".join(parts)},"{CHECK}")'
        return f'IF(ISNUMBER({self.value("row of Trailer")}),{words},"Choose a trailer on the {SHEET} sheet.")'

    def tiles(self) -> tuple[Figure, ...]:
        """The four figures that stand large."""
        gross, empty, limit = (Cell(cell) for cell in (self.used["gvwr"], self.used["empty"], self.limit))
        amount = f'{style.FIGURE}" {self.units.weight}"'
        return (
            Figure("GVWR, from the certification label", self.said(self.used["gvwr"]), amount),
            Figure("Empty weight", self.said(self.used["empty"]), amount),
            Figure("Payload by the label", self.said(self._call("LOT_PAYLOAD", gross, empty)), amount),
            Figure("Safe payload, by every part stated", self.said(self._call("LOT_PAYLOAD", limit, empty)), amount),
        )

    def ratings(self) -> tuple[Figure, ...]:
        """The ratings and the hitch."""
        pin = self._call("LOT_PIN_WEIGHT", Cell(self.limit), Cell(self.used["high_share"]))
        found = (
            ("Hitch", self.used["hitch"], TEXT),
            ("Gross limit, by every part stated ({weight})", self.limit, style.FIGURE),
            ("Limited by", self.value("limited by"), TEXT),
            ("Pin weight at that gross ({weight})", pin, style.FIGURE),
            ("Axles", self.used["axles"], "0"),
            ("Axle group, as rated ({weight})", self.used["axle_group"], style.FIGURE),
            ("Coupler rating ({weight})", self.used["coupler"], style.FIGURE),
            ("Coupler vertical ({weight})", self.used["coupler_vertical"], style.FIGURE),
        )
        return self._figures(found)

    def deck(self) -> tuple[Figure, ...]:
        """Deck, ramps and tie-down points."""
        u, short = self.used, "General" if self.units.name == "us" else style.FIGURE
        rise = Call("LOT_RAMP_RISE", (Cell(u["deck_height"]), Cell(u["tail_drop"])))
        found = (
            ("Deck length, without tail ({long})", u["deck_length"], "0.0"),
            ("Deck height, empty ({short})", u["deck_height"], short),
            ("Width over all ({short})", u["trailer_width"], short),
            ("Tail length ({short})", u["tail_length"], short),
            ("Ramp length ({short})", u["ramp_length"], short),
            ("Ramp angle", self._call("LOT_RAMP_ANGLE", rise, Cell(u["ramp_length"])), style.ANGLE),
            ("Tie-down points", u["points"], "0"),
            ("Working load limit of each ({weight})", u["point_rating"], style.FIGURE),
        )
        return self._figures(found)

    def _figures(self, found: Iterable[tuple[str, str, str]]) -> tuple[Figure, ...]:
        """Figures from label, formula and number format; the format ``TEXT`` stands for words."""
        return tuple(
            Figure(
                self.units.heading(label),
                self.said(formula, is_text=shape == TEXT),
                "General" if shape == TEXT else shape,
            )
            for label, formula, shape in found
        )

    @property
    def limit(self) -> str:
        """The cell of the gross limit."""
        return self.value("gross limit")

    def _call(self, function: str, *arguments: Cell | Call) -> str:
        return cell_formula(Call(function, arguments))
