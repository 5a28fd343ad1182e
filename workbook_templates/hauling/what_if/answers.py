"""The answers of What-if, one row each: a formula, a verdict in a word, and what it means in words."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tarelot.calc.cells.formulas import Call, Cell, cell_formula
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.questions import CAUTION, WRONG
from tarelot.workbook_templates.hauling.what_if import written as say
from tarelot.workbook_templates.hauling.what_if.rows import FIRST_ROW, TABLES, TRAILER, used
from tarelot.workbook_templates.hauling.what_if.values import Values

OPEN = "needs more figures"
CONFLICTS = ("Conflicts", "What conflicts")
"""Columns of the Lot that say what its own checks found."""
MOST_WORDS = 75
"""Characters of a note that one line of the sheet holds."""
PLACED = ("pin", "axle_load", "sits", "front_end", "truck_spare", "rear_axle", "front_axle")
"""Answers that need a place for its centre, not only figures."""


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
        lacking: Formula of the words while there is no figure.
    """

    key: str
    label: str
    formula: str
    verdict: str
    note: str
    kind: str = "figure"
    lacking: str = f'"{OPEN}"'


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
    breaks = (
        _break_row(values, "ramp_top", "Break at the ramp's top", "ramp top"),
        _break_row(values, "tail_top", "Break at the tail's top", "tail top"),
    )
    before = (
        Section("Does it carry it", (*_weight(values, units), _conflicts(values))),
        Section("Where it may sit", (*_band(values, units), *_seat(values, units))),
        Section("Driving on", (_ramp(values, units), *breaks, *_gap(values, units))),
    )
    ties_row = FIRST_ROW + sum(len(section.answers) + 1 for section in before) + 1
    found = (
        *before,
        Section("Tying down", _ties(values, units, f"$B${ties_row}")),
        Section("Truck and driver", _truck(values, units)),
        Section("On the road", _road(units)),
    )
    band = values.elsewhere("band")
    lacking = f'IF(OR({band}="",{band}="ok",{band}="check"),"{OPEN}","No place for its centre: see above.")'
    return tuple(
        Section(s.heading, tuple(replace(a, lacking=lacking) if a.key in PLACED else a for a in s.answers))
        for s in found
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


def _cells(values: Values) -> dict[str, str]:
    """The cells of the figures that the questions read; a section adds those that are its own answers."""
    names = (
        *("gross", "pin", "axle load", "pin share", "band from", "band to", "truck limit", "rear change"),
        "front change",
    )
    return used() | {"centre": used()["place"]} | {name.replace(" ", "_"): values.elsewhere(name) for name in names}


def _conflicts(values: Values) -> Answer:
    """What the Lot's own checks of the chosen trailer found: a caution, since some of them limit nothing here."""
    row = values.elsewhere(f"row of {TRAILER}")
    count, words = (f"INDEX({table_column(TABLES[TRAILER][0], heading)},{row})" for heading in CONFLICTS)
    listed = f"ISNUMBER({row})"
    cut = f'IF(LEN({words})>{MOST_WORDS},LEFT({words},{MOST_WORDS})&" ... see the Lot",{words})'
    return Answer(
        "conflicts",
        "Conflicts on the Lot",
        f'IF({listed},IFERROR({count},"{WRONG}"),"-")',
        f'IF({listed},IFERROR(IF({words}="","ok","{CAUTION}"),"{WRONG} check"),"")',
        f'IF({listed},IFERROR(IF({words}="","Sticker and parts agree, as far as they are stated.",{cut}),'
        '"A figure of the trailer is out of range: see the Lot."),"No trailer of the Lot is chosen.")',
        "text",
    )


def _weight(values: Values, units: Units) -> tuple[Answer, ...]:
    v, u, w = values.elsewhere, used(), units.weight
    gross, limit, pin, axles, share = (v(n) for n in ("gross", "gross limit", "pin", "axle load", "pin share"))
    cells = _cells(values) | {"spare": "{B}"}
    spare = f'IF(AND(ISNUMBER({limit}),ISNUMBER({gross})),ROUND({limit}-{gross},6),IF(ISERROR({limit}),{limit},""))'
    loaded = f'"Gross "&TEXT({gross},"#,##0")&" of "&TEXT({limit},"#,##0")&" {w}, limited by "&{v("limited by")}&"."'
    low, high = u["low_share"], u["high_share"]
    not_light = say.answer(q.PIN_OVER_RATING, "too heavy", cells, units)
    not_light = say.answer(q.PIN_HEAVY, "too heavy", cells, units, not_light)
    shares = (
        f'TEXT({share},"0.0%")&" of the gross; "&TEXT({low},"0.0%")&" to "&TEXT({high},"0.0%")&" is wanted"'
        f'&IF(N({u["coupler_vertical"]})>0,", coupler vertical "&TEXT({u["coupler_vertical"]},"#,##0")&" {w}","")&"."'
    )
    rating = f"N({u['axle_group']})"
    return (
        Answer("spare", "Weight to spare ({weight})", spare, say.answer(q.WEIGHT, "too heavy", cells, units), loaded),
        Answer(
            "pin",
            "Pin weight ({weight})",
            pin,
            say.answer(q.PIN_LIGHT, "too light", cells, units, not_light),
            shares,
        ),
        Answer(
            "axle_load",
            "Weight on its axles ({weight})",
            axles,
            say.answer(q.AXLES_HEAVY, "too heavy", cells, units),
            f'IF({rating}=0,"The axle group has no rating stated.","Axle group rated "&TEXT({rating},"#,##0")&" {w}.")',
        ),
    )


def _band(values: Values, units: Units) -> tuple[Answer, ...]:
    """Where its centre, and so its front contact, may stand."""
    v = values.elsewhere
    low, high, band = v("band from"), v("band to"), v("band")
    front = f"{used()['to_centre']}/{units.short_per_long:g}"

    def text(formula: str) -> str:
        return f'IF({band}="","",IF(ISNUMBER({low}),{distance(f"({formula})", units)},"-"))'

    state = f'IF({band}="ok","ok",IF({band}="check","{WRONG} check","{WRONG} no place"))'
    why = (
        f'IF({band}="ok","Centre of gravity, from the deck\'s front edge, by pin, axles and the deck\'s ends.",'
        f'IF({band}="short","The deck is shorter than its wheelbase or tracks.",'
        f'IF({band}="off the deck","By pin and axles it would stand off the level deck.",IF({band}="no place",'
        f'"No place meets pin share, pin rating and axle rating together.","A weight or share is out of range."))))'
    )
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
    )


def _seat(values: Values, units: Units) -> tuple[Answer, ...]:
    """Where it sits: as proposed or as typed."""
    v, u, cells = values.elsewhere, used(), _cells(values)
    low, place = v("band from"), u["place"]
    end = f"{place}-({u['to_centre']}+N({u['front_overhang']}))/{units.short_per_long:g}"
    behind = say.answer(q.BEHIND_BAND, "outside", cells, units)
    over_edge = say.is_over(q.OVER_FRONT_EDGE, cells, units)
    sits = f'IF(ISNUMBER({place}),{distance(place, units)},"")'
    return (
        Answer(
            "sits",
            "Centre sits at",
            sits,
            f'IF(ISNUMBER({low}),{say.answer(q.AHEAD_OF_BAND, "outside", cells, units, behind)},"{WRONG} no band")',
            f'IF({place}={v("proposed")},"Proposed: the middle of the band.","As typed under Where it sits.")',
            "text",
        ),
        Answer(
            "front_end",
            "Its front end then at",
            f'IF(AND(ISNUMBER({place}),ISNUMBER({u["to_centre"]})),{distance(f"({end})", units)},"")',
            say.answer(q.OVER_FRONT_EDGE, "", cells, units),
            f'IF({over_edge},"Reaches over the deck\'s front edge: mind drawbar and truck in a turn.",'
            '"Behind the deck\'s front edge.")',
            "text",
        ),
    )


def _break_row(values: Values, key: str, label: str, place: str) -> Answer:
    """The change of slope at a break."""
    v = values.elsewhere
    wheels, over = f"{v('wheels')}=1", v("break-over")
    return Answer(
        key,
        label,
        v(f"break at {place}"),
        f'IF({wheels},IF({{B}}>{over},"see the gap","ok"),IF({{B}}>0,"{CAUTION}","ok"))',
        f'IF({wheels},"The machine\'s break-over angle is "&TEXT({over},"0.0")&"°.",'
        f'"Tracks lie on the break and tip over it: slowly, boom low, nobody near.")',
        "angle",
    )


def _ramp(values: Values, units: Units) -> Answer:
    """The ramp's angle against the machine's ends."""
    v = values.elsewhere
    wheels, cells = f"{v('wheels')}=1", used() | {"foot": "{B}"}
    ends = f"MIN({v('front angle')},{v('rear angle')})"
    steep = f'IF({{B}}>{ends},IF({wheels},"see the gap","{CAUTION}"),"ok")'
    steep = say.answer(q.REAR_STRIKES, "too steep", cells, units, steep)
    strikes = ("carry it higher and type that clearance, or longer ramps.", "longer ramps, a lower tail or blocks.")
    front, rear = (say.is_over(question, cells, units) for question in (q.FRONT_STRIKES, q.REAR_STRIKES))
    return Answer(
        "ramp_angle",
        "Ramp angle, as at its foot",
        v("break at foot"),
        say.answer(q.FRONT_STRIKES, "too steep", cells, units, steep),
        f'IF({front},"Its front strikes the ramp: {strikes[0]}",IF({rear},"Its rear strikes the ground: '
        f'{strikes[1]}","A grade of "&TEXT(TAN(RADIANS({{B}})),"0%")&IF({ends}<90,"; the machine\'s ends clear "&'
        f'TEXT({ends},"0.0")&"°.",".")))',
        "angle",
    )


def _gap(values: Values, units: Units) -> tuple[Answer, ...]:
    """The tightest gap, and the lift on the hitch."""
    v, is_clear = values.elsewhere, f"{q.clear(units):g}"
    wheels, ready = f"{v('wheels')}=1", f"{v('ready')}=1"
    gap = f'IF({ready},IF({wheels},ROUND({v("least gap")},9),"tracks"),"")'
    said = (f'"{WRONG} touches"', f'"{WRONG} tight"', '"clears"', f'"{WRONG} tight"')
    return (
        Answer(
            "gap",
            "Tightest gap ({short})",
            gap,
            f'IF({wheels},{say.gap_answer("{B}", "{B}", said, units)},"{CAUTION}")',
            f'IF({wheels},{v("where")}&IF({{B}}<0,": needs longer ramps, a lower tail or blocks.",'
            f'IF({{B}}<{is_clear},": springs and soft ground can take that.",".")),'
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
            f'IF({{B}}<0,"{CAUTION}","ok")',
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
    cells = u | {"tie_downs": needed}
    more = f"-INT(-ROUND({weight}/MAX({rating},0.000001),9))"
    return (
        Answer(
            "ties",
            "Tie-downs needed",
            count,
            say.answer(q.TIES_FEW, "too few", cells, units),
            f'IF({points}="","","Of the trailer\'s "&{points}&" points; ")&"attachments lowered and tied too '
            '(393.110, 393.130)."',
            "whole",
        ),
        Answer(
            "tie_rating",
            "Rating each, direct ({weight})",
            f'IF(OR({needed}="",{weight}=""),"",{direct})',
            say.answer(q.TIES_WEAK, "too weak", cells, units, f'IF({rating}*{needed}>={weight},"ok","use "&{more})'),
            f'IF({rating}="","The points have no rating stated.","Trailer\'s points: "&'
            f'TEXT({rating},"#,##0")&" {w} each; check chain, hooks, binders (393.106(d)).")',
        ),
    )


def _truck_axle(values: Values, units: Units, end: str, label: str, question: q.Question) -> Answer:
    """An axle of the truck with the pin on its hitch."""
    v, u, w = values.elsewhere, used(), units.weight
    empty, rating, change = u[f"{end}_empty"], u[f"{end}_rating"], v(f"{end} change")
    loaded = f'IF(AND(ISNUMBER({empty}),ISNUMBER({change})),{empty}+{change},IF(ISERROR({change}),{change},""))'
    note = (
        f'IF({change}<0,"The trailer takes off ","The trailer adds ")&TEXT(ABS({change}),"#,##0")&" {w}; rated "&'
        f'IF(N({rating})=0,"not stated",TEXT({rating},"#,##0")&" {w}")&"."'
    )
    return Answer(f"{end}_axle", label, loaded, say.answer(question, "too heavy", _cells(values), units), note)


def _truck(values: Values, units: Units) -> tuple[Answer, ...]:
    v, u, w = values.elsewhere, used(), units.weight
    gross, limit, cells = v("gross"), v("truck limit"), _cells(values)
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
            say.answer(q.HITCH_DIFFERS, "differs", cells, units),
            f'"The truck has: "&{hitches}&"."',
            "text",
        ),
        Answer(
            "truck_spare",
            "Truck has to spare ({weight})",
            pulled,
            say.answer(q.TRUCK_LIGHT, "too heavy", cells, units),
            f'"It may pull "&TEXT({limit},"#,##0")&" {w} at this pin share, limited by "&{v("truck limited by")}&"."',
        ),
        _truck_axle(values, units, "rear", "Rear axles loaded ({weight})", q.REAR_AXLE),
        _truck_axle(values, units, "front", "Front axle loaded ({weight})", q.FRONT_AXLE),
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
    u = used()
    height = f'IF(OR({u["deck_height"]}="",{u["machine_height"]}=""),"",{u["deck_height"]}+{u["machine_height"]})'
    trailer, machine = u["trailer_width"], u["machine_width"]
    width = f'IF(AND(N({trailer})>0,N({machine})>0),MAX({trailer},{machine}),"")'
    return (
        Answer(
            "height",
            "Loaded height ({short})",
            height,
            say.answer(q.TALL, "too high", u, units),
            '"Most states allow 13 ft 6 in; measure it loaded and know the bridges on the way."',
        ),
        Answer(
            "width",
            "Loaded width ({short})",
            width,
            say.answer(q.WIDER, "too wide", u, units, say.answer(q.WIDE, "", u, units)),
            f'IF({say.is_over(q.WIDER, u, units)},"Wider than the trailer. ","")&'
            '"Above 102 in it needs a permit (23 CFR 658.15)."',
        ),
    )
