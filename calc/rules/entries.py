"""What is not likely of the figures typed for a trailer, a machine or a truck: DOUBTS, said in words with the slip.

Such a figure is no base of a YES. Bounds are limits of ``limits.py``. Which of two figures that do not go together is
wrong cannot be told: the checks that they fail are not hidden. ``{short}`` and the like in a word stand for the words
of a workbook's units, which the caller gives.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..cells.expression import Cell, Cells, Expression, Places, lift
from ..cells.spreadsheet import AND, COUNT, FIXED, IF, IFERROR, MAX, MIN, OR, ROUND, SUM, N, joined
from ..cells.values import Values
from .hauling_figures import BALL, GOOSENECK, PINTLE, listed

Words = Mapping[str, str]
"""``weight``, ``short``, ``long``: the units; ``shorts``, ``longs``: their plurals in full; ``kg_or``, ``lb_or``: the
other unit of weight with `` or ``, where a figure comes out too small or too large by it, else empty; ``most``: the
weight that ``most_weight`` holds."""
MOST_WEIGHT = Cell("most_weight")
MOST_PARTS = 99
TOO_MANY, TOO_FEW = "a digit too many?", "a digit missing?"


@dataclass(frozen=True)
class Likely:
    """A figure within bounds.

    Attributes:
        key: The figure.
        name: What people read.
        unit: With which unit it is said.
        below, above: What has likely happened to a figure beyond its bounds.
            Without words for one of them only the other bound is asked.
        limit: The limits of its bounds, ``plaus_`` before and ``_least``, ``_greatest`` behind; the key if empty.
        is_signed: Whether it may be below 0.
        only: In which rows it is asked; all if None.
    """

    key: str
    name: str
    unit: str
    below: str
    above: str
    limit: str = ""
    is_signed: bool = False
    only: Expression | None = None


@dataclass(frozen=True)
class Together:
    """What share of another figure a figure is; ``known`` must be numbers, ``limit`` names the bounds.

    ``from_0`` says that a figure of 0 is one to be asked, and not none.
    """

    words: str
    figure: Expression
    other: Expression
    known: tuple[str, ...]
    limit: str
    below: str
    above: str
    from_0: bool = False


@dataclass(frozen=True)
class NotAbove:
    """A figure that another one, or a share of it, or so many times that, is never below; 0 in the other says that
    there is none. ``only`` says on which trailers.
    """

    key: str
    other: str
    words: str
    share: float = 1
    times: Cell | None = None
    only: Expression | None = None


@dataclass(frozen=True)
class Spread:
    """Axles and how far apart they are: not at all where there is one.

    That more than one are 0 apart is not asked: IronCalc reads a colored empty cell as 0.
    """

    axles: str
    spread: str
    name: str


@dataclass(frozen=True)
class Doubts:
    """All that is asked of one sheet's rows.

    ``never_one`` are weights: LibreOffice reads TRUE in a cell with a number's format as a typed 1 (seen on
    25.2), which no function tells apart from it.
    """

    likely: tuple[Likely, ...]
    together: tuple[Together, ...]
    not_above: tuple[NotAbove, ...]
    spread: tuple[Spread, ...] = ()
    more: tuple[Expression, ...] = ()
    weights: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    never_one: tuple[str, ...] = ()


class Renamed(Expression):
    """An expression whose cells stand under other keys."""

    __slots__ = ("_names", "expression")

    def __init__(self, expression: Expression, names: Mapping[str, str]) -> None:
        self.expression = expression
        self._names = {key: names.get(key, key) for key in sorted(expression.keys())}

    def text(self, places: Places) -> str:
        """The expression's, with the references of the other keys."""
        return self.expression.text({key: places[name] for key, name in self._names.items()})

    def work_out(self, cells: Cells) -> Values:
        """The expression's value over the cells of the other keys."""
        return self.expression.work_out({key: cells[name] for key, name in self._names.items()})

    def keys(self) -> set[str]:
        """The other keys."""
        return set(self._names.values())


class Remembered(Expression):
    """An expression that remembers what it came to: rows of a list share most of their figures."""

    __slots__ = ("_found", "_keys", "expression")
    most = 5_000
    is_single = True

    def __init__(self, expression: Expression) -> None:
        self.expression, self._keys = expression, sorted(expression.keys())
        self._found: dict[tuple[object, ...], Values] = {}

    def text(self, places: Places) -> str:
        """The expression's."""
        return self.expression.text(places)

    def work_out(self, cells: Cells) -> Values:
        """The expression's value; it raises nothing, whatever the cells hold."""
        if len(self._keys) == 1:
            one = cells[self._keys[0]]
            known: tuple[object, ...] = (one, one.__class__)
        else:
            given = [cells[key] for key in self._keys]
            known = (*given, *map(type, given))
        found = self._found.get(known, self)
        if found is self:  # not known yet
            if len(self._found) >= self.most:
                self._found.clear()
            found = self._found[known] = self.expression.work_out(cells)
        return found  # type: ignore[return-value]

    def written_out(self) -> Expression:
        """The expression where it reads several cells: to look those up takes longer than to work it out anew."""
        return self if len(self._keys) == 1 else self.expression

    def keys(self) -> set[str]:
        """The expression's."""
        return self.expression.keys()


def doubts(asked: Doubts, words: Words) -> Iterator[Expression]:
    """Each doubt as an expression: blank, or its words after ``; ``.

    Args:
        asked: The sheet's.
        words: The words of the units.
    """
    yield from (_unlikely(row, words) for row in asked.likely)
    yield from (_apart(row, words) for row in asked.together)
    yield from (_above(row) for row in asked.not_above)
    silent = [
        *(_spread(row) for row in asked.spread),
        *asked.more,
        *([_heavy(asked.weights, words)] if asked.weights else []),
        *([_many(asked.parts)] if asked.parts else []),
        *([_one(asked.never_one)] if asked.never_one else []),
    ]
    if silent:  # an error in one of these cells is named by itself: it may hide these
        yield IFERROR(joined(silent), "")


def _bounds(limit: str) -> tuple[Cell, Cell]:
    return Cell(f"limit_plaus_{limit}_least"), Cell(f"limit_plaus_{limit}_greatest")


def _unlikely(row: Likely, words: Words) -> Expression:
    """A figure outside its bounds; 0 is none but where it may be below 0."""
    cell, (least, greatest) = Cell(row.key), _bounds(row.limit or row.key)
    unit = f" {words.get(row.unit, row.unit)}" if row.unit else ""
    below, above = row.below.format_map(words), row.above.format_map(words)
    is_less = cell < least if row.is_signed else (cell < least) * cell
    is_more = cell > greatest
    outside = is_more if not below else is_less if not above else is_less + is_more
    if below and above and below != above:
        slip = f"{unit}: " & IF(cell < least, below, above)
    else:
        slip = lift(f"{unit}: {below or above}")
    said = IF(COUNT(cell), IF(outside, f"; {row.name} " & cell & slip, ""), "")
    return Remembered(said) if row.only is None else IFERROR(IF(row.only, said, ""), "")


def _apart(row: Together, words: Words) -> Expression:
    """Two figures that do not go together."""
    before, after = row.words.split("{}")
    share, (least, greatest) = row.figure / row.other, _bounds(row.limit)
    slip = IF(share < least, row.below.format_map(words), row.above.format_map(words))
    said = f"; {before}" & FIXED(share * 100, 0) & f"{after}: " & slip
    doubted = COUNT(*map(Cell, row.known)).equals(len(row.known)) * ((share < least) + (share > greatest))
    doubted = doubted * (row.figure >= 0 if row.from_0 else row.figure > 0)
    return IFERROR(IF(doubted, said, ""), "")


def _above(row: NotAbove) -> Expression:
    figure, other = Cell(row.key), Cell(row.other)
    least = other if row.share == 1 else other * row.share
    passed = ((figure if row.times is None else figure / row.times) > least) * (other > 0)
    said = IF(
        COUNT(figure, other).equals(2), IF(passed if row.only is None else row.only * passed, f"; {row.words}", ""), ""
    )
    return said if row.only is None else IFERROR(said, "")


def _spread(row: Spread) -> Expression:
    axles, spread = Cell(row.axles), Cell(row.spread)
    return IF(SUM(axles).equals(1) * (SUM(spread) > 0), f"; {row.name} with one axle", "")


def _heavy(weights: tuple[str, ...], words: Words) -> Expression:
    """A weight that nothing of the trade has."""
    said = f"; a weight above {words['most']} {words['weight']}: {TOO_MANY}"
    return IF(MAX(*map(Cell, weights)) > MOST_WEIGHT, said, "")


def _many(parts: tuple[str, ...]) -> Expression:
    """More parts of a kind than a trailer has; the words are those of a trailer's."""
    said = f"; over {MOST_PARTS} axles, tires, jacks or points"
    return IF(MAX(*map(Cell, parts)) > MOST_PARTS, said, "")


def _one(keys: tuple[str, ...]) -> Expression:
    first, *more = (Cell(key).equals(1) for key in keys)
    found = first + 0 if not more else first
    for one in more:
        found = found + one
    return IF(found > 0, "; a weight of 1: TRUE, or a digit missing?", "")


_FEET_OR_MANY = ("{longs}?", TOO_MANY)
_POINT = ("decimal point?", "decimal point?")
_SLIP = ("{longs}, or a digit?", "{longs}, or a digit?")
_HAS_TWO_RAMPS = Cell("ramp_kind").equals("two ramps")
_TO_AXLES, _TO_DECK, _DECK, _TAIL = (Cell(key) for key in ("to_axles", "to_deck", "deck_length", "tail_length"))
_UNDER_DECK = IF(
    AND(COUNT(_TO_AXLES, _TO_DECK, _DECK).equals(3), MIN(_TO_AXLES, _TO_DECK, _DECK) > 0),
    IF(
        _TO_AXLES < _TO_DECK,
        "; Axles ahead of the deck?",
        IF(_TO_DECK + _DECK + SUM(_TAIL) / Cell("per_long") < _TO_AXLES, "; Axles behind the deck?", ""),
    ),
    "",
)
_RAMP_ANGLE = Cell("ramp_angle")
_STEEP = IF(
    ROUND(N(_RAMP_ANGLE), 6) > Cell("limit_ramp_angle_greatest"),  # the sine of 30 degrees comes back as a little more
    "; Ramp angle " & FIXED(_RAMP_ANGLE, 0) & " deg: Ramp length or Deck height?",
    "",
)

# Common practice, no source: from what the trade's equipment looks like.
TRAILER = Doubts(
    likely=(
        Likely("deck_length", "Deck length", "long", TOO_FEW, "{shorts}?"),
        Likely("deck_height", "Deck height", "short", *_FEET_OR_MANY),
        Likely("ramp_length", "Ramp length", "short", *_FEET_OR_MANY),
        Likely("width", "Width", "short", *_FEET_OR_MANY),
        Likely("deck_width", "Deck width", "short", *_FEET_OR_MANY),
        Likely("axle_spread", "Axle spread", "short", *_FEET_OR_MANY),
        Likely("axle_rating", "Axle rating", "weight", f"{{kg_or}}{TOO_FEW}", "{lb_or}all axles together?"),
        Likely("model_year", "Model year", "", "two digits?", TOO_MANY),
        Likely("stated_low", "Low pin share", "", *_POINT, "low_share"),
        Likely("stated_high", "High pin share", "", *_POINT, "high_share"),
        Likely("ramps_outside", "Ramps, outside to outside", "short", *_SLIP, "ramps_outside"),
        Likely("ramp_width", "Width of one ramp", "short", "{longs}?", ""),
    ),
    together=(
        Together(
            "Empty weight {}% of GVWR",
            *(Cell("empty"), Cell("gvwr"), ("gross_limit", "empty"), "empty_share"),
            *(f"{{kg_or}}{TOO_FEW}", "{lb_or}GVWR too low?"),
        ),
        Together(
            "Empty pin {}% of the empty weight",
            *(Cell("empty_pin"), Cell("empty"), ("empty_pin", "empty"), "pin_share", TOO_FEW, TOO_MANY),
            from_0=True,
        ),
        Together(
            "GVWR {}% of the axles",
            *(Cell("gvwr"), Cell("axles") * Cell("axle_rating"), ("gross_limit", "axle_group"), "gvwr_share"),
            *("all axles typed for one?", "an axle missing?"),
        ),
        Together(
            "Tires {}% of the axle rating",
            *(Cell("tires") * Cell("tire_rating"), Cell("axle_rating"), ("axle_group", "tires", "tire_rating")),
            *("tire_share", "tires missing?", "all tires typed for one?"),
        ),
    ),
    not_above=(
        NotAbove("deck_width", "width", "Deck width above Width"),
        NotAbove("ramp_width", "ramps_outside", "Ramps wider than their outside", 0.5, only=_HAS_TWO_RAMPS),
        NotAbove("coupler", "gvwr", "Coupler far above GVWR", times=Cell("limit_plaus_coupler_share_greatest")),
        NotAbove("tail_drop", "tail_length", "Tail drop above Tail length"),
    ),
    spread=(Spread("axles", "axle_spread", "Axle spread"),),
    more=(_UNDER_DECK, _STEEP),
    parts=("axles", "tires", "jacks", "points"),
)
MACHINE = Doubts(
    likely=(
        Likely(
            *("weight", "Weight", "weight", f"TRUE, tons, or {TOO_FEW}", f"{{lb_or}}{TOO_MANY}"),
            "machine_weight",
        ),
        Likely("wheelbase", "Wheelbase", "short", *_FEET_OR_MANY),
        Likely("front_overhang", "Front overhang", "short", *_FEET_OR_MANY, "overhang"),
        Likely("rear_overhang", "Rear overhang", "short", *_FEET_OR_MANY, "overhang"),
        Likely("front_clearance", "Front clearance", "short", "", TOO_MANY, "end_clearance"),
        Likely("rear_clearance", "Rear clearance", "short", "", TOO_MANY, "end_clearance"),
        Likely("machine_width", "Width", "short", *_FEET_OR_MANY),
        Likely("machine_height", "Height", "short", *_FEET_OR_MANY),
        Likely("tread_outside", "Outside of tires or tracks", "short", *_FEET_OR_MANY),
        Likely("shoe_width", "Tire or track width", "short", *_FEET_OR_MANY),
        Likely("clearance", "Ground clearance", "short", *_FEET_OR_MANY),
        Likely("climb", "Greatest slope", "deg", "a share?", "percent?"),
    ),
    together=(
        Together(
            "Front contact to center {}% of the wheelbase",
            *(Cell("to_center"), Cell("wheelbase"), ("to_center", "wheelbase"), "center_share", *_FEET_OR_MANY),
        ),
    ),
    not_above=(
        NotAbove("tread_outside", "machine_width", "Outside of tires or tracks above Width"),
        NotAbove("shoe_width", "tread_outside", "Two tires or tracks above Outside of tires or tracks", 0.5),
    ),
)
_HITCH, _AT_NECK = Cell("hitch_overhang"), listed("hitches", GOOSENECK)
_AT_BACK = OR(listed("hitches", PINTLE), listed("hitches", BALL))
# On a truck with both, the rule of the hitches asks whose overhang it is. Too far ahead is said of every hitch.
_BEHIND = AND(_AT_BACK, _AT_NECK.equals(False), Cell("limit_plaus_hitch_overhang_least") <= _HITCH)
_NECK_BEHIND = AND(SUM(_HITCH) > 0, _AT_NECK, _AT_BACK.equals(False))
_EMPTY_TRUCK = Cell("front_empty") + Cell("rear_empty")
TRUCK = Doubts(
    likely=(
        Likely("truck_wheelbase", "Wheelbase", "short", *_FEET_OR_MANY),
        Likely("rear_axles", "Rear axles", "", "", TOO_MANY),
        Likely("rear_spread", "Rear axle spread", "short", *_FEET_OR_MANY, "axle_spread"),
        Likely("hitch_overhang", "Hitch overhang", "short", "sign?", TOO_MANY, is_signed=True),
        Likely(
            *("hitch_overhang", "Hitch overhang", "short", "{longs}, or sign?", "", "hitch_behind"),
            is_signed=True,
            only=_BEHIND,
        ),
    ),
    together=(
        Together(
            "Empty truck {}% of GVWR",
            *(_EMPTY_TRUCK, Cell("truck_gvwr"), ("truck_gvwr", "front_empty", "rear_empty"), "truck_share"),
            *(f"{{kg_or}}{TOO_FEW}", "{lb_or}GVWR too low?"),
        ),
    ),
    not_above=(
        NotAbove("truck_gvwr", "gcwr", "GVWR above GCWR"),
        NotAbove("truck_gvwr", "label_gcwr", "GVWR above GCWR on label"),
        NotAbove("front_rating", "truck_gvwr", "Front axle rating above GVWR"),
        NotAbove("rear_rating", "truck_gvwr", "Rear axle rating above GVWR"),
        NotAbove("hitch_vertical", "hitch_rating", "Hitch vertical above Hitch rating"),
    ),
    spread=(Spread("rear_axles", "rear_spread", "Rear axle spread"),),
    more=(IF(_NECK_BEHIND, "; Gooseneck behind the rear axles: sign?", ""),),
    weights=("truck_gvwr", "gcwr", "front_rating", "rear_rating", "front_empty", "rear_empty", "hitch_rating"),
    never_one=("truck_gvwr", "gcwr", "front_rating", "rear_rating", "hitch_rating", "hitch_vertical"),
)
