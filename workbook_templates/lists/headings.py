"""Whose heading is whose: the headings of a list matched to ours by the trade's usual words and by units.

`SYNONYMS` is the whole table. Its words are common practice, no source. Case, punctuation, spacing and the usual
abbreviations (`ABBREVIATIONS`) need no rows of their own, nor do units: `GVWR, kg`, `gvwr_(LB)` and `Gvwr lbs.` all are
`GVWR` and a unit.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from tarelot.workbook_templates.lists.quantities import LOOKALIKES, UnitError, conversion, unit_named

REASON = "Reason"  # the column that a list of refused rows gets; known, and of no meaning when it is taken in again

LONGEST_HEADING = 100  # characters; longer text is prose, and would make the patterns below slow

# Our heading without its unit -> other words for it.
SYNONYMS: dict[str, tuple[str, ...]] = {
    "Stock no.": ("stock", "stk", "stk no", "stock id", "unit no", "unit id", "inventory no"),
    "VIN": ("vin no", "vehicle identification no", "serial no", "serial", "vehicle id no"),
    "Model year": ("year", "my", "year model"),
    "Make": ("manufacturer", "mfr", "mfg", "brand", "maker"),
    "Model": ("model no", "model name", "model code"),
    "Body": ("body type", "body style", "trailer type", "type", "style", "category"),
    "Hitch": ("hitch type", "coupler type", "coupling", "coupling type", "hitch style", "connection"),
    "Status": ("stock status", "availability", "trailer status"),
    "Received": ("received date", "date received", "date in", "arrived", "arrival date", "in date"),
    "Price": ("list price", "retail", "retail price", "selling price", "sale price", "msrp", "asking price"),
    "GVWR": (
        *("gross vehicle weight rating", "gvw rating", "gvw", "gross vehicle weight", "gross weight rating"),
        *("gross trailer weight rating", "gtwr", "maximum gross weight", "maximum gross", "gross rating"),
    ),
    "Base weight": (
        *("curb weight", "kerb weight", "dry weight", "unladen weight", "shipping weight", "trailer weight"),
        *("standard weight", "base empty weight", "unloaded vehicle weight", "uvw"),
    ),
    "Options": ("option", "options installed", "option codes", "installed options", "option list", "extras"),
    "Scale weight": ("scaled weight", "weighed", "weight on scale", "scale ticket weight", "ticket weight", "scale"),
    "Stated payload": (
        *("payload", "payload capacity", "payload rating", "rated payload", "maximum payload", "cargo capacity"),
        *("carrying capacity", "load capacity", "rated load", "rated capacity", "cargo carrying capacity"),
    ),
    "Axles": ("axle", "no of axles", "axle no", "axle count", "no axles"),
    "Axle rating": (
        *("axle capacity", "rating per axle", "capacity per axle", "axle capacity each", "axle rating each"),
        *("gawr", "gross axle weight rating", "axle weight rating", "gawr each", "gawr per axle"),
    ),
    "Suspension rating": ("suspension capacity", "suspension rating per axle", "spring rating", "spring capacity"),
    "Tires per axle": ("tire per axle", "wheels per axle", "tires each axle", "no of tires per axle"),
    "Tire rating": ("tire capacity", "tire load rating", "rating per tire", "tire load capacity", "tire maximum load"),
    "Wheel rating": ("wheel capacity", "rim rating", "rim capacity", "rating per wheel", "wheel load rating"),
    "Coupler rating": ("coupler capacity", "hitch rating", "hitch capacity", "coupling rating", "coupler gross rating"),
    "Coupler vertical": (
        *("coupler vertical rating", "vertical rating", "vertical capacity", "coupler vertical capacity"),
        *("vertical load rating", "coupler vertical load", "tongue rating", "tongue weight rating"),
    ),
    "Chain strength": ("safety chain strength", "chain rating", "safety chain rating", "chains", "safety chains"),
    "Jacks": ("jack", "no of jacks", "jack no", "jack count", "no jacks"),
    "Jack rating": ("jack capacity", "rating per jack", "jack capacity each", "jack lift rating"),
    "Low pin share": ("minimum pin share", "lowest pin share", "low tongue share", "low pin", "minimum pin"),
    "High pin share": ("maximum pin share", "highest pin share", "high tongue share", "high pin", "maximum pin"),
    "Width": ("overall width", "trailer width", "outside width", "o a width", "oaw"),
    "Deck height": ("bed height", "loaded deck height", "floor height", "platform height", "deck ht loaded"),
    "Deck length": ("bed length", "floor length", "platform length", "usable deck length", "length of deck"),
    "Tail length": ("beavertail length", "beaver tail length", "dovetail length", "dove tail length", "beavertail"),
    "Tail drop": ("beavertail drop", "beaver tail drop", "dovetail drop", "dove tail drop"),
    "Ramp length": ("ramps length", "length of ramps", "ramp"),
    "Deck width": ("width between fenders", "between fenders", "usable deck width", "bed width", "floor width"),
    "Neck clearance": ("gooseneck clearance", "swing clearance", "neck room"),
    "Ramp kind": ("ramp type", "ramp style", "kind of ramp"),
    "Ramp pair rating": ("ramp rating", "ramp capacity", "ramps rating", "ramps capacity", "ramp pair capacity"),
    "Ramps, outside to outside": ("ramps outside", "ramp spread", "over both ramps", "outside of ramps"),
    "Width of one ramp": ("ramp width", "one ramp width"),
    "Axle spread": ("spread of axles", "axle spacing", "axle center to center", "axle centers"),
    "Brakes": ("brake", "brake type", "brake kind", "braking"),
    "Coupler size": ("ball size", "coupler ball size", "eye size", "kingpin size", "ball diameter"),
    "Tie-down points": ("tie downs", "tiedowns", "tiedown points", "d rings", "no of tie downs", "d ring no"),
    "Tie-down rating": ("tiedown rating", "d ring rating", "d ring capacity", "tie down capacity", "tiedown capacity"),
    "Empty pin": ("empty pin weight", "empty tongue weight", "tongue weight empty", "pin weight empty"),
    "Coupler to axles": ("coupler to axle center", "coupler to axle centre", "hitch to axles", "hitch to axle center"),
    "Coupler to deck": ("hitch to deck", "coupler to front of deck", "hitch to front of deck", "tongue length"),
}

# Words that could be more than one of ours, and so are none of them: a wrong guess would be taken in unseen.
AMBIGUOUS: dict[str, tuple[str, ...]] = {
    "empty weight": ("Base weight", "Scale weight"),
    "tare weight": ("Base weight", "Scale weight"),
    "tare": ("Base weight", "Scale weight"),
    "weight": ("Base weight", "Scale weight", "GVWR"),
    "capacity": ("Stated payload", "GVWR", "Coupler rating"),
    "length": ("Deck length", "Tail length", "Ramp length"),
    "height": ("Deck height", "Tail drop"),
    "tongue weight": ("Coupler vertical", "Empty pin"),
    "pin weight": ("Coupler vertical", "Empty pin"),
    "tires": ("Tires per axle", "Tire rating"),
    "date": ("Received",),
    "cost": ("Price",),
}

ABBREVIATIONS: dict[str, str] = {
    **dict.fromkeys(("number", "num", "nr", "nbr", "#"), "no"),
    **dict.fromkeys(("wt", "wgt"), "weight"),
    **dict.fromkeys(("cap", "cpty"), "capacity"),
    "ht": "height",
    "lgth": "length",
    "lth": "length",
    "wdth": "width",
    "yr": "year",
    "susp": "suspension",
    "cplr": "coupler",
    **dict.fromkeys(("tyre", "tyres"), "tires"),
    "max": "maximum",
    "min": "minimum",
    "rtg": "rating",
    "qty": "no",
}

# Feet and inches in one column: a number alone is feet. A dollar sign is the only currency we read.
_MIXED_UNITS = {"ft in": "ft", "feet inches": "ft", "ft and in": "ft", "feet and inches": "ft"}
_CURRENCY_WORDS = {"$", "usd", "us$", "us $", "dollars"}
# A unit in brackets; else a unit sign at the end; else two words of unit at the end, or one.
_UNIT_PLACES = (
    re.compile(r"([^()\[\]{}]*)[(\[{]([^()\[\]{}]*)[)\]}][\s.:*]*"),
    re.compile(r"(.*?)\s*(''|[#%\"'])[\s.:*]*"),
    re.compile(r"(.*?)[\s.,;:/_-]+([^\W_]+[\s/&-]+(?:and\s+)?[^\W_]+)[\s.:*]*"),
    re.compile(r"(.*?)[\s.,;:/_-]+([^\W_]+|\$)[\s.:*]*"),
)


@dataclass(frozen=True)
class Found:
    """Where one of our headings stands in the list (counted from 0), and the unit its heading names, if any."""

    index: int
    unit: str | None = None


@dataclass(frozen=True)
class Doubled:
    """Two or more columns of the list that would all be the same one of ours."""

    ours: str
    found: tuple[str, ...]
    indexes: tuple[int, ...]


@dataclass(frozen=True)
class Matched:
    """The columns that are ours, the headings that are nobody's, and the ones that claim the same column."""

    columns: Mapping[str, Found]
    unknown: list[str]
    doubled: list[Doubled]


def plain(text: str) -> str:
    """Lower-case words, abbreviations written out.

    >>> plain("Stk. No."), plain("STK #")
    ('stk no', 'stk no')
    """
    words = re.findall(r"[#%\"']|[^\W_]+", text.translate(LOOKALIKES).casefold())
    return " ".join(ABBREVIATIONS.get(word, word) for word in words)


@lru_cache(maxsize=1)
def _names() -> Mapping[str, str]:
    """Every plain way to write a heading -> our heading without its unit."""
    names: dict[str, str] = {}
    for ours, others in SYNONYMS.items():
        names.update(dict.fromkeys(map(plain, (ours, *others)), ours))
    return MappingProxyType(names)


def _heading_unit(words: str) -> str | None:
    """Our name of the unit a heading ends in; "" for dollars, which need no conversion; None if it is no unit."""
    words = words.strip().casefold().removeprefix("in ")
    if words in _CURRENCY_WORDS:
        return ""
    return _MIXED_UNITS.get(" ".join(re.findall(r"[^\W_]+", words))) or unit_named(words)


def split_unit(heading: str) -> tuple[str, str | None]:
    """A heading without its unit, and the name of that unit or None.

    >>> split_unit("GVWR (lb)"), split_unit("Deck Length, m"), split_unit("Stock #"), split_unit("Date in")
    (('GVWR', 'lb'), ('Deck Length', 'm'), ('Stock #', None), ('Date in', None))
    """
    text = " ".join(heading.translate(LOOKALIKES).split())
    if (
        len(text) > LONGEST_HEADING or plain(text) in _names()
    ):  # before the units: "Date in" is not a date in inches, nor "Stock #" pounds
        return text, None
    for pattern in _UNIT_PLACES:
        if (match := pattern.fullmatch(text)) and (unit := _heading_unit(match[2])) is not None:
            return match[1].strip(" ,;:/_-."), unit or None
    return text, None


@lru_cache(maxsize=4096)
def known(heading: str) -> str | None:
    """Our heading, without its unit, that a heading of a list means; None if none.

    >>> known("Gross Vehicle Weight Rating (kg)"), known("Colour")
    ('GVWR', None)
    """
    return _names().get(plain(split_unit(heading)[0]))


def could_be(heading: str) -> tuple[str, ...]:
    """Our headings that a heading which is not `known` might mean, for a message; none are ever chosen.

    >>> could_be("Tare (lb)")
    ('Base weight', 'Scale weight')
    """
    return AMBIGUOUS.get(plain(split_unit(heading)[0]), ())


def _same_kind(unit: str | None, ours: str | None) -> bool:
    """Whether a column of our unit can take values in the other (a share may be given in percent)."""
    if unit is None:
        return True
    try:
        conversion(unit, ours or "")
    except UnitError:
        return False
    return True


def match_headings(found: Sequence[str], ours: Sequence[str]) -> Matched:
    """Which of the list's columns is which of ours.

    Args:
        found: The list's headings, left to right.
        ours: Our headings with their units in brackets, `GVWR (lb)` or `GVWR (kg)`. Give the results' headings too
            where a list may be a copy of the lot: a heading that is exactly one of ours is never read as a synonym.

    Returns:
        Every heading found is in exactly one place: in `columns`, in `doubled` (an error for the caller to raise), or
        in `unknown`, where a heading also goes whose unit cannot be converted to ours. `Reason` is left out.

    >>> match_headings(["Stk #", "GVWR kg", "Colour"], ["Stock no.", "GVWR (lb)"])
    Matched(columns={'Stock no.': Found(index=0, unit=None), 'GVWR (lb)': Found(index=1, unit='kg')}, \
unknown=['Colour'], doubled=[])
    """
    own: dict[str, str] = {}
    for heading in ours:
        name = split_unit(heading)[0]
        own[plain(name)] = heading
    claims: dict[str, list[Found]] = defaultdict(list)
    unknown = []
    for index, heading in enumerate(found):
        if plain(heading) == plain(REASON):
            continue
        name, unit = split_unit(heading)
        target = own.get(plain(name)) or own.get(plain(known(heading) or ""))
        if target is not None and _same_kind(unit, split_unit(target)[1]):
            claims[target].append(Found(index, unit))
        else:
            unknown.append(heading if heading.strip() else f"column {index + 1}, which has no heading")
    columns = {target: places[0] for target, places in claims.items() if len(places) == 1}
    doubled = [
        Doubled(target, tuple(found[place.index] for place in places), tuple(place.index for place in places))
        for target, places in claims.items()
        if len(places) > 1
    ]
    return Matched(columns, unknown, doubled)
