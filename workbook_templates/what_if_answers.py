"""The answers of What-if, one row each: a formula, a verdict in a word, and what it means in words."""

from __future__ import annotations

from dataclasses import dataclass

from addin.formulas import Call, Cell, cell_formula

from .drive_on_sheet import Values
from .units import Units
from .what_if_rows import FIRST_ROW, used

TIGHT_IN = 2.0
"""A gap below it is called tight, since springs, tires and soft ground take as much (common practice, no source)."""
TALL_IN = 162.0
"""13 ft 6 in, the height limit of most states (common practice: look it up for each state on the way)."""
WIDE_IN = 102.0
"""23 CFR 658.15."""
WRONG = "▲"
"""How a verdict begins that says no; a verdict of ``caution`` says how, not no."""


@dataclass(frozen=True)
class Answer:
    """One row.

    Attributes:
        key: Its name.
        label: What the sheet says, with units to be filled in.
        formula: Its formula; ``{B}`` in the next two stands for its cell.
        verdict: Formula of the word beside it, or nothing.
        note: Formula of the words beside that.
        kind: Number format by name.
    """

    key: str
    label: str
    formula: str
    verdict: str
    note: str
    kind: str = "figure"


@dataclass(frozen=True)
class Section:
    """A band with its answers."""

    heading: str
    answers: tuple[Answer, ...]


def distance(formula: str, units: Units) -> str:
    """Formula: a length in the long unit as text, feet and inches in the US."""
    if units.name != "us":
        return f'TEXT({formula},"0.00")&" m"'
    inches = f"ROUND(ABS({formula})*12,0)"
    return f'IF({formula}<0,"-","")&INT({inches}/12)&" ft "&({inches}-12*INT({inches}/12))&" in"'


def sections(values: Values, units: Units) -> tuple[Section, ...]:
    """Every answer in the order of the sheet."""
    before = (
        Section("Does it carry it", _weight(values, units)),
        Section("Where it may sit", _place(values, units)),
        Section("Driving on", _drive_on(values, units)),
    )
    ties_row = FIRST_ROW + sum(len(section.answers) + 1 for section in before) + 1
    return (
        *before,
        Section("Tying down", _ties(values, units, f"$B${ties_row}")),
        Section("Truck and driver", _truck(values, units)),
        Section("On the road", _road(units)),
    )


def answer_rows(found: tuple[Section, ...]) -> dict[str, int]:
    """The row of each answer; each section has a band row above it."""
    rows, row = {}, FIRST_ROW
    for section in found:
        for answer in section.answers:
            row += 1
            rows[answer.key] = row
        row += 1
    return rows


def _weight(values: Values, units: Units) -> tuple[Answer, ...]:
    v, u, w = values.elsewhere, used(), units.weight
    gross, limit, pin, axles, share = (v(n) for n in ("gross", "gross limit", "pin", "axle load", "pin share"))
    spare = f'IF(AND(ISNUMBER({limit}),ISNUMBER({gross})),{limit}-{gross},IF(ISERROR({limit}),{limit},""))'
    loaded = f'"Gross "&TEXT({gross},"#,##0")&" of "&TEXT({limit},"#,##0")&" {w}, limited by "&{v("limited by")}&"."'
    low, high = u["low_share"], u["high_share"]
    too_heavy_pin = f"OR({share}>{high}+0.0000001,AND(N({u['coupler_vertical']})>0,{{B}}>{u['coupler_vertical']}))"
    shares = (
        f'TEXT({share},"0.0%")&" of the gross; "&TEXT({low},"0.0%")&" to "&TEXT({high},"0.0%")&" is wanted"'
        f'&IF(N({u["coupler_vertical"]})>0,", coupler vertical "&TEXT({u["coupler_vertical"]},"#,##0")&" {w}","")&"."'
    )
    rating = f"N({u['axle_group']})"
    return (
        Answer("spare", "Weight to spare ({weight})", spare, f'IF({{B}}<0,"{WRONG} too heavy","ok")', loaded),
        Answer(
            "pin",
            "Pin weight ({weight})",
            pin,
            f'IF(OR({low}="",{high}=""),"not checked",IF({share}<{low}-0.0000001,'
            f'"{WRONG} too light",IF({too_heavy_pin},"{WRONG} too heavy","ok")))',
            shares,
        ),
        Answer(
            "axle_load",
            "Weight on its axles ({weight})",
            axles,
            f'IF({rating}=0,"not checked",IF({{B}}>{rating}*1.000000001,"{WRONG} too heavy","ok"))',
            f'IF({rating}=0,"The axle group has no rating stated.","Axle group rated "&TEXT({rating},"#,##0")&" {w}.")',
        ),
    )


def _place(values: Values, units: Units) -> tuple[Answer, ...]:
    v, u = values.elsewhere, used()
    low, high, band, place = v("band from"), v("band to"), v("band"), u["place"]
    factor = "12" if units.name == "us" else "1000"
    front = f"{u['to_centre']}/{factor}"
    end = f"{place}-({u['to_centre']}+N({u['front_overhang']}))/{factor}"

    def text(formula: str) -> str:
        return f'IF(ISNUMBER({low}),{distance(f"({formula})", units)},IF(OR({band}="no place",{band}="check"),"-",""))'

    state = (
        f'IF({band}="ok","ok",IF({band}="off the deck","{WRONG} no place",'
        f'IF({band}="no place","{WRONG} no place","{WRONG} check")))'
    )
    why = (
        f'IF({band}="ok","Centre of gravity, from the deck\'s front edge, by pin, axles and the deck\'s ends.",'
        f'IF({band}="off the deck","By pin and axles it would stand off the level deck.",IF({band}="no place",'
        f'"No place meets pin share, pin rating and axle rating together.","A weight or share is out of range.")))'
    )
    outside = f"OR({place}<{low}-0.0001,{place}>{high}+0.0001)"
    sits = f'IF(ISNUMBER({place}),{distance(place, units)},"")'
    return (
        Answer("centre_from", "Centre from", text(low), state, why, "text"),
        Answer("centre_to", "Centre to", text(high), "", '"At the rear end of the band."', "text"),
        Answer(
            "front_from",
            "Front wheels or tracks from",
            text(f"{low}-{front}"),
            "",
            '"Where the front contact stands then, from the deck\'s front edge."',
            "text",
        ),
        Answer(
            "front_to",
            "Front wheels or tracks to",
            text(f"{high}-{front}"),
            "",
            '"At the rear end of the band. Mark it on the deck."',
            "text",
        ),
        Answer(
            "sits",
            "Centre sits at",
            sits,
            f'IF(ISNUMBER({low}),IF({outside},"{WRONG} outside","ok"),"{WRONG} no band")',
            f'IF({place}={v("proposed")},"Proposed: the middle of the band.","As typed under Where it sits.")',
            "text",
        ),
        Answer(
            "front_end",
            "Its front end then at",
            f'IF(AND(ISNUMBER({place}),ISNUMBER({u["to_centre"]})),{distance(f"({end})", units)},"")',
            f'IF({end}<-0.0001,"caution","ok")',
            f'IF({end}<-0.0001,"Reaches over the deck\'s front edge: mind drawbar and truck in a turn.",'
            '"Behind the deck\'s front edge.")',
            "text",
        ),
    )


def _drive_on(values: Values, units: Units) -> tuple[Answer, ...]:
    v = values.elsewhere
    wheels, ready = f"{v('wheels')}=1", f"{v('ready')}=1"
    tight = f"{TIGHT_IN * units.short_per_inch:g}"

    def break_row(key: str, label: str, place: str) -> Answer:
        over = v("break-over")
        return Answer(
            key,
            label,
            v(f"break at {place}"),
            f'IF({wheels},IF({{B}}>{over},"see the gap","ok"),IF({{B}}>0,"caution","ok"))',
            f'IF({wheels},"The machine\'s break-over angle is "&TEXT({over},"0.0")&"°.",'
            f'"Tracks lie on the break and tip over it: slowly, boom low, nobody near.")',
            "angle",
        )

    ends = f"MIN({v('front angle')},{v('rear angle')})"
    gap = f'IF({ready},IF({wheels},ROUND({v("least gap")},9),"tracks"),"")'
    return (
        Answer(
            "ramp_angle",
            "Ramp angle, as at its foot",
            v("break at foot"),
            f'IF({{B}}>{ends},"see the gap","ok")',
            f'"A grade of "&TEXT(TAN(RADIANS({{B}})),"0%")&IF({ends}<90,"; the machine\'s ends clear "&'
            f'TEXT({ends},"0.0")&"°.",".")',
            "angle",
        ),
        break_row("ramp_top", "Break at the ramp's top", "ramp top"),
        break_row("tail_top", "Break at the tail's top", "tail top"),
        Answer(
            "gap",
            "Tightest gap ({short})",
            gap,
            f'IF({wheels},IF({{B}}<0,"{WRONG} touches",IF({{B}}<{tight},"{WRONG} tight","clears")),"caution")',
            f'IF({wheels},{v("where")}&IF({{B}}<0,": needs longer ramps, a lower tail or blocks.",'
            f'IF({{B}}<{tight},": springs and soft ground can take that.",".")),'
            f'"A gap has no meaning on tracks; look at the two breaks above.")',
            "gap",
        ),
        Answer(
            "lift",
            "Pin while loading ({weight})",
            cell_formula(
                Call(
                    "LOT_LOADING_PIN",
                    (
                        *(Cell(used()[k]) for k in ("empty", "empty_pin", "to_axles", "weight")),
                        Cell(v("tail from coupler")),
                    ),
                )
            ),
            'IF({B}<0,"caution","ok")',
            'IF({B}<0,"Lifts the hitch by that much over the tail\'s end: set stands or block the tail first.",'
            '"Stays down on the hitch.")',
        ),
    )


def _ties(values: Values, units: Units, needed: str) -> tuple[Answer, ...]:
    """``needed`` is the cell of the first answer here."""
    v, u, w = values.elsewhere, used(), units.weight
    count = cell_formula(Call("LOT_TIEDOWN_COUNT", (Cell(v("weight in lb")), Cell(v("length in ft")), None, "machine")))
    points, rating, weight = u["points"], u["point_rating"], u["weight"]
    direct = f"{weight}/{needed}"
    more = f"-INT(-ROUND({weight}/MAX({rating},0.000001),9))"
    return (
        Answer(
            "ties",
            "Tie-downs needed",
            count,
            f'IF({points}="","not checked",IF({points}<{{B}},"{WRONG} too few","ok"))',
            f'IF({points}="","","Of the trailer\'s "&{points}&" points; ")&"attachments lowered and tied too '
            '(393.110, 393.130)."',
            "whole",
        ),
        Answer(
            "tie_rating",
            "Rating each, direct ({weight})",
            f'IF(OR({needed}="",{weight}=""),"",{direct})',
            f'IF(OR({points}="",{rating}=""),"not checked",IF({rating}>={{B}},"ok",'
            f'IF({points}*{rating}>={weight},"use "&{more},"{WRONG} too weak")))',
            f'IF({rating}="","The points have no rating stated.","Trailer\'s points: "&'
            f'TEXT({rating},"#,##0")&" {w} each; check chain, hooks, binders (393.106(d)).")',
        ),
    )


def _truck(values: Values, units: Units) -> tuple[Answer, ...]:
    v, u, w = values.elsewhere, used(), units.weight
    gross, limit = v("gross"), v("truck limit")

    def axle(key: str, label: str, end: str) -> Answer:
        empty, rating, change = u[f"{end}_empty"], u[f"{end}_rating"], v(f"{end} change")
        loaded = f'IF(AND(ISNUMBER({empty}),ISNUMBER({change})),{empty}+{change},IF(ISERROR({change}),{change},""))'
        over = f'IF(N({rating})=0,"not checked",IF({{B}}>{rating}*1.000000001,"{WRONG} too heavy","ok"))'
        note = (
            f'IF({change}<0,"The trailer takes off ","The trailer adds ")&TEXT(ABS({change}),"#,##0")&" {w}; rated "&'
            f'IF(N({rating})=0,"not stated",TEXT({rating},"#,##0")&" {w}")&"."'
        )
        return Answer(key, label, loaded, over, note)

    pulled = f'IF(AND(ISNUMBER({limit}),ISNUMBER({gross})),{limit}-{gross},IF(ISERROR({limit}),{limit},""))'
    group = cell_formula(
        Call(
            "LOT_LICENSE_GROUP",
            tuple(
                Cell(v(n))
                for n in ("truck GVWR in lb", "trailer GVWR or gross in lb", "GCWR in lb", "actual gross in lb")
            ),
        )
    )
    hitch, hitches = u["hitch"], u["hitches"]
    return (
        Answer(
            "hitch",
            "Trailer's hitch",
            f'IF(OR({hitch}="",{hitches}=""),"",{hitch})',
            f'IF(ISNUMBER(SEARCH({hitch},{hitches})),"ok","{WRONG} differs")',
            f'"The truck has: "&{hitches}&"."',
            "text",
        ),
        Answer(
            "truck_spare",
            "Truck has to spare ({weight})",
            pulled,
            f'IF({{B}}<0,"{WRONG} too heavy","ok")',
            f'"It may pull "&TEXT({limit},"#,##0")&" {w} at this pin share, limited by "&{v("truck limited by")}&"."',
        ),
        axle("rear_axle", "Rear axles loaded ({weight})", "rear"),
        axle("front_axle", "Front axle loaded ({weight})", "front"),
        Answer(
            "license",
            "License group by weight",
            group,
            '""',
            'IF({B}="none","No commercial license by weight alone (49 CFR 383.91).",'
            '"Commercial license, group "&{B}&" (49 CFR 383.91).")&" Ask the state\'s office."',
            "text",
        ),
    )


def _road(units: Units) -> tuple[Answer, ...]:
    u, per = used(), units.short_per_inch
    wide, tall = f"{WIDE_IN * per:g}", f"{TALL_IN * per:g}"
    height = f'IF(OR({u["deck_height"]}="",{u["machine_height"]}=""),"",{u["deck_height"]}+{u["machine_height"]})'
    trailer, machine = u["trailer_width"], u["machine_width"]
    width = f'IF(AND(N({trailer})>0,N({machine})>0),MAX({trailer},{machine}),"")'
    return (
        Answer(
            "height",
            "Loaded height ({short})",
            height,
            f'IF({{B}}>{tall},"{WRONG} too high","ok")',
            '"Most states allow 13 ft 6 in; measure it loaded and know the bridges on the way."',
        ),
        Answer(
            "width",
            "Loaded width ({short})",
            width,
            f'IF(OR({{B}}>{wide},{machine}>{trailer}),"caution","ok")',
            f'IF(AND({{B}}<={wide},{machine}>{trailer}),"The machine is wider than the trailer.",'
            '"Above 102 in it needs a permit (23 CFR 658.15).")',
        ),
    )
