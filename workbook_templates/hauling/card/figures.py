"""The trailer on the Card: its name and its figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tarelot.calc.cells.expression import Cell, Expression, Registered
from tarelot.calc.cells.spreadsheet import IF, NOT, OR, joined
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.card.cells import is_listed, listed, name, said
from tarelot.workbook_templates.hauling.what_if.rows import SHEET, TRAILER, no_choice, used
from tarelot.workbook_templates.hauling.what_if.values import there
from tarelot.workbook_templates.lot import columns

C = Cell


@dataclass(frozen=True)
class Figure:
    """A figure of the trailer: what the page calls it, what it is and its number format."""

    label: str
    figure: Expression
    number_format: str = style.FIGURE


def title(units: Units) -> Expression:
    """The page's title."""
    return IF(OR(there(TRAILER), NOT(no_choice(TRAILER))), name(TRAILER, units), "No trailer chosen")


def subtitle(units: Units) -> Expression:
    """Which trailer it is."""
    parts = ["Stock no. " & listed(TRAILER, columns.KEY, units)]
    for heading, before in (("Model year", ""), ("Body", ""), ("VIN", "VIN ")):
        found = listed(TRAILER, heading, units)
        parts.append(IF(found.equals(""), "", f"  ·  {before}" & found))
    return IF(is_listed(TRAILER), joined(parts), f"Choose a trailer on the {SHEET} sheet.")


def tiles(units: Units) -> Iterator[Figure]:
    """The four figures that stand large."""
    figures = {
        "GVWR, from the certification label": C("gvwr"),
        "Empty weight": used("empty"),
        "Payload by the label": Registered("LOT_PAYLOAD", C("gvwr"), used("empty")),
        "Safe payload, by every part stated": Registered("LOT_PAYLOAD", C("gross_limit"), used("empty")),
    }
    for label, figure in figures.items():
        yield Figure(label, said(figure), f'{style.FIGURE}" {units.weight}"')


def ratings(units: Units) -> tuple[Figure, ...]:
    """The ratings and the hitch."""
    pin = Registered("LOT_PIN_WEIGHT", C("gross_limit"), C("high_share"))
    return (
        _words("Hitch", C("hitch")),
        _figure("Gross limit, by every part stated ({weight})", C("gross_limit"), units),
        _words("Limited by", C("limited_by")),
        _figure("Pin weight at that gross ({weight})", pin, units),
        _figure("Axles", C("axles"), units, "0"),
        _figure("Axle group, as rated ({weight})", C("axle_group"), units),
        _figure("Coupler rating ({weight})", C("coupler"), units),
        _figure("Coupler vertical ({weight})", C("coupler_vertical"), units),
    )


def deck(units: Units) -> tuple[Figure, ...]:
    """Deck, ramps and tie-down points."""
    short = "General" if units.name == "us" else style.FIGURE
    rise = Registered("LOT_RAMP_RISE", C("deck_height"), C("tail_drop"))
    return (
        _figure("Deck length, without tail ({long})", C("deck_length"), units, "0.0"),
        _figure("Deck height, empty ({short})", C("deck_height"), units, short),
        _figure("Width over all ({short})", C("trailer_width"), units, short),
        _figure("Tail length ({short})", C("tail_length"), units, short),
        _figure("Ramp length ({short})", C("ramp_length"), units, short),
        _figure("Ramp angle", Registered("LOT_RAMP_ANGLE", rise, C("ramp_length")), units, style.ANGLE),
        _figure("Tie-down points", C("points"), units, "0"),
        _figure("Working load limit of each ({weight})", C("point_rating"), units),
    )


def _figure(label: str, figure: Expression, units: Units, number_format: str = style.FIGURE) -> Figure:
    return Figure(units.heading(label), said(figure), number_format)


def _words(label: str, words: Expression) -> Figure:
    return Figure(label, said(words, is_text=True), "General")
