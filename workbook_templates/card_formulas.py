"""What the Card says, as plain formulas over What-if, Drive-on and the lot.

Every formula gives words where a figure lacks or is refused, never an error value.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from addin.formulas import Call, Cell, cell_formula

from . import columns, style
from .questions import NOT_CHECKED, WRONG
from .references import table_column
from .units import Units
from .what_if import FORMATS, OPEN, SHEET, WORDS, Shown
from .what_if_rows import (
    CHOICE_CELLS,
    FIGURES,
    FIRST_ROW,
    MACHINE,
    MARK_COLUMN,
    PLACE,
    TABLES,
    TRAILER,
    TRUCK,
    figure_rows,
    no_choice,
    used_elsewhere,
)

NOT_STATED, CHECK = "not stated", "check figures"
NOT_DRAWN, TEXT = "Not drawn:", "text"
LONGEST_WORDS = 260
"""Letters of a free text that two lines of the page hold."""
MOST_NAMED = 4
"""Typed figures that a line of the page names."""
TRUCK_ANSWERS = ("hitch", "truck_spare", "rear_axle", "front_axle", "license")
CONFLICTS, NOT_CHECKED_THERE = "What conflicts", "Not checked"
LOT_COLUMNS = (
    *("Model year", "VIN", "Scale weight ({weight})", "Low pin share", "High pin share"),
    *(CONFLICTS, NOT_CHECKED_THERE),
)
"""Columns of the lot that the Card reads beside those of What-if."""


@dataclass(frozen=True)
class Figure:
    """A figure of the trailer: what the page calls it, its formula and its number format."""

    label: str
    formula: str
    number_format: str = style.FIGURE


@dataclass(frozen=True)
class Line:
    """A line about the machine or the truck; each but the group is a formula."""

    label: str
    figure: str
    verdict: str
    note: str
    group: str = MACHINE
    number_format: str = "General"


class CardFormulas:
    """The formulas of the Card of one workbook, all without ``=``."""

    def __init__(self, shown: Shown, units: Units) -> None:
        self.shown, self.units, self.used = shown, units, used_elsewhere()
        self.value = shown.values.elsewhere

    def there(self, group: str) -> str:
        """Whether a trailer, machine or truck is chosen or typed."""
        key = {TRAILER: "gvwr", MACHINE: "weight", TRUCK: "truck_gvwr"}[group]
        return f"OR(ISNUMBER({self.value(f'row of {group}')}),ISNUMBER({self.used[key]}))"

    def listed(self, group: str, heading: str) -> str:
        """A cell of the chosen row, blank where it is."""
        row, table = self.value(f"row of {group}"), TABLES[group][0]
        found = f"INDEX({table_column(table, self.units.heading(heading))},{row})"
        return f'IF(ISNUMBER({row}),IF(OR({found}="",{found}=0),"",{found}),"")'

    def said(self, formula: str, *, is_text: bool = False) -> str:
        """A figure, or in words that it lacks or is refused; text where a number belongs is refused."""
        lacking = f'IF({self.there(TRAILER)},"{NOT_STATED}","")'
        if is_text:
            return f'IFERROR(IF({formula}="",{lacking},{formula}),"{CHECK}")'
        return f'IF(ISNUMBER({formula}),{formula},IFERROR(IF({formula}="",{lacking},"{CHECK}"),"{CHECK}"))'

    def name(self, group: str) -> str:
        """What is chosen: a machine or truck with its maker, a trailer's make and model, else its number."""
        row, (_, key) = self.value(f"row of {group}"), TABLES[group]
        parts = [self.listed(group, heading) for heading in WORDS[group][:2]]
        name = "TRIM(" + '&" "&'.join(parts) + ")" if group == TRAILER else self.listed(group, key)
        if group == TRAILER:
            name = f'IF({name}="","Trailer "&{self.listed(group, key)},{name})'
        choice = self._choice(group)
        return (
            f'IF({self._none(group)},"a {group.lower()} as typed",IF(ISNUMBER({row}),IFERROR({name},"{CHECK}"),'
            f'{choice}&" {WRONG} not on the {TABLES[group][0]} sheet"))'
        )

    def title(self) -> str:
        """The page's title."""
        return f'IF(OR({self.there(TRAILER)},NOT({self._none(TRAILER)})),{self.name(TRAILER)},"No trailer chosen")'

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
        gross, empty, limit = (Cell(cell) for cell in (self.used["gvwr"], self.used["empty"], self._limit))
        amount = f'{style.FIGURE}" {self.units.weight}"'
        return (
            Figure("GVWR, from the certification label", self.said(self.used["gvwr"]), amount),
            Figure("Empty weight", self.said(self.used["empty"]), amount),
            Figure("Payload by the label", self.said(self._call("LOT_PAYLOAD", gross, empty)), amount),
            Figure("Safe payload, by every part stated", self.said(self._call("LOT_PAYLOAD", limit, empty)), amount),
        )

    def ratings(self) -> tuple[Figure, ...]:
        """The ratings and the hitch."""
        pin = self._call("LOT_PIN_WEIGHT", Cell(self._limit), Cell(self.used["high_share"]))
        found = (
            ("Hitch", self.used["hitch"], TEXT),
            ("Gross limit, by every part stated ({weight})", self._limit, style.FIGURE),
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

    def heading(self) -> str:
        """What stands above the side view."""
        behind = f'IF({self.there(TRUCK)}," behind "&{self.name(TRUCK)},"")'
        return f'IF({self.there(MACHINE)},"With "&{self.name(MACHINE)}&{behind},"Seen from the side")'

    def answer(self) -> str:
        """The answer in a line."""
        count, missing, open_rows = self._counts()
        no_truck = f'IF({self.there(TRUCK)},"","; no truck was checked")'
        conflicts = self.listed(TRAILER, CONFLICTS)

        def many(number: str, one: str, more: str) -> str:
            return f'{number}&IF({number}=1," {one}"," {more}")'

        found = (
            f'IF({count}>0,"NO: "&{many(count, "thing is", "things are")}&" wrong"&{no_truck}&".",'
            f'IF({missing}>0,"Not known: nothing wrong found, but "&{many(missing, "figure is", "figures are")}'
            f'&" missing"&{no_truck}&".",IF({open_rows}>0,"Not known: nothing wrong found, but "&'
            f'{many(open_rows, "answer is", "answers are")}&" open"&{no_truck}&".",'
            f'IF({conflicts}="","YES: nothing wrong found"&{no_truck}&". Mind the cautions below.",'
            f'"Not yet: nothing wrong found, but ratings of the trailer do not agree, see below"&{no_truck}&"."))))'
        )
        lost = f'{self._choice(MACHINE)}&" {WRONG} not on the Machines sheet."'
        alone = f'IF({self._none(MACHINE)},"No machine was chosen: the figures are those of the trailer alone.",{lost})'
        return f'IF({self.there(TRAILER)},IF({self.there(MACHINE)},{found},{alone}),"")'

    def reason(self) -> str:
        """What is wrong first, or nothing."""
        labels, verdicts, notes = (self._answers(letter) for letter in "ACD")
        row = f'MATCH("{WRONG}*",{verdicts},0)'
        first = f'INDEX({labels},{row})&" "&INDEX({verdicts},{row})&": "&INDEX({notes},{row})'
        count = f'COUNTIF({verdicts},"{WRONG}*")'
        both = f"AND({self.there(TRAILER)},{self.there(MACHINE)})"
        return f'IF({both},IF({count}>0,IF({count}>1,"First: ","")&{first},""),"")'

    def captions(self) -> tuple[tuple[str, str], ...]:
        """The words below the side view, each with the caption of the drawing whose color it has."""
        band, tight = (self.shown.captions[key] for key in ("band in full", "tight in full"))
        scale = (
            f'IF({self.value("draw")}=1,"To scale, both ways alike; drawbar, wheels and outline sketched.",'
            f'"{NOT_DRAWN} deck height, deck length or the place of the deck behind the coupler is not stated.")'
        )
        shown = f"{self.value('draw machine')}=1"
        return (
            ("band", f'IF({shown},{band},"")'),
            ("tight", f'IF({shown},{tight},"")'),
            ("", f'IF({self.there(TRAILER)},{scale},"")'),
        )

    def lines(self) -> Iterator[Line]:
        """The lines about machine and truck."""
        yield self._answer_line("spare")
        yield self._span("Its centre may sit", "centre_from", "centre_to")
        yield self._span("Front wheels or tracks then", "front_from", "front_to")
        for key in ("pin", "ramp_angle"):
            yield self._answer_line(key)
        yield self._gap()
        for key in ("ties", "tie_rating"):
            yield self._answer_line(key)
        yield self._truck_line()
        for key in ("truck_spare", "license"):
            yield self._answer_line(key, TRUCK)

    def assumptions(self) -> tuple[tuple[str, str], ...]:
        """What the figures rest on: the mark before each line, and its words."""
        words = (self._empty_weight(), self._pin_share(), self._load_place(), self._typed_over())
        found = [('"·"', formula) for formula in words]
        conflicts, missing = (self.listed(TRAILER, heading) for heading in (CONFLICTS, NOT_CHECKED_THERE))
        none = '"Ratings: those stated do not contradict each other."'
        agree = (
            f'IF({conflicts}="",{none},"Ratings that do not agree, to be settled first: "&{shortened(conflicts)}&".")'
        )
        full = '"Every check of the ratings had its figures."'
        lacking = f'IF({missing}="",{full},"Not checked, for want of figures: "&{shortened(missing)}&".")'
        row = f"ISNUMBER({self.value('row of Trailer')})"
        found += [
            (f'IF({conflicts}="","·","{WRONG}")', f'IF({row},{agree},"")'),
            ('"·"', f'IF({row},{lacking},"")'),
        ]
        there = self.there(TRAILER)
        return tuple(
            (f'IF({there},IFERROR({mark},"{WRONG}"),"")', f'IF({there},IFERROR({words},"{CHECK}"),"")')
            for mark, words in found
        )

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
    def _limit(self) -> str:
        return self.value("gross limit")

    def _call(self, function: str, *arguments: Cell | Call) -> str:
        return cell_formula(Call(function, arguments))

    def _choice(self, group: str) -> str:
        return f"'{SHEET}'!{CHOICE_CELLS[group]}"

    def _none(self, group: str) -> str:
        return no_choice(group).replace(CHOICE_CELLS[group], self._choice(group))

    def _answers(self, letter: str) -> str:
        return f"'{SHEET}'!${letter}${FIRST_ROW}:${letter}${max(self.shown.rows.values())}"

    def _counts(self) -> tuple[str, str, str]:
        """How many answers are wrong, figures are missing, answers are open; the truck's only where there is one."""
        verdicts, notes = self._answers("C"), self._answers("D")
        rows = figure_rows()
        marks = f"'{SHEET}'!${MARK_COLUMN}${FIRST_ROW}:${MARK_COLUMN}${max(rows.values())}"
        first, last = (self.shown.rows[TRUCK_ANSWERS[place]] for place in (0, -1))
        of_truck = (
            f"COUNTIF('{SHEET}'!$D${first}:$D${last},\"{OPEN}\")"
            f"+COUNTIF('{SHEET}'!$C${first}:$C${last},\"{NOT_CHECKED}\")"
        )
        every = f'COUNTIF({notes},"{OPEN}")+COUNTIF({verdicts},"{NOT_CHECKED}")'
        open_rows = f"({every}-IF({self.there(TRUCK)},0,{of_truck}))"
        return f'COUNTIF({verdicts},"{WRONG}*")', f'COUNTIF({marks},"missing")', open_rows

    def _at(self, key: str, letter: str) -> str:
        return f"'{SHEET}'!${letter}${self.shown.rows[key]}"

    def _when(self, group: str, formula: str) -> str:
        test = self.there(group) if group == MACHINE else f"AND({self.there(MACHINE)},{self.there(group)})"
        return f'IF({test},IFERROR({formula},"{CHECK}"),"")'

    def _answer_line(self, key: str, group: str = MACHINE) -> Line:
        answer, figure = self.shown.answers[key], self._at(key, "B")
        return Line(
            self._when(group, f'"{self.units.heading(answer.label)}"'),
            self._when(group, f'IF({figure}="","-",{figure})'),
            self._when(group, self._at(key, "C")),
            self._when(group, self._at(key, "D")),
            group,
            "General" if answer.kind == "text" else FORMATS[answer.kind],
        )

    def _span(self, label: str, low: str, high: str) -> Line:
        start, end = self._at(low, "B"), self._at(high, "B")
        return Line(
            self._when(MACHINE, f'"{label}"'),
            self._when(MACHINE, f'IF(OR({start}="",{start}="-"),"-",{start}&" to "&{end})'),
            self._when(MACHINE, self._at(low, "C")),
            self._when(MACHINE, self._at(low, "D")),
        )

    def _gap(self) -> Line:
        """The tightest gap; on tracks the break that the machine tips over."""
        wheels, gap = f"{self.value('wheels')}=1", self._at("gap", "B")
        tips = f"IF({self.value('tips at')}=3,{self.value('break at tail top')},{self.value('break at ramp top')})"
        tipping = f'IF({tips}="","-",TEXT({tips},"0.0")&"°")'
        return Line(
            self._when(MACHINE, f'IF({wheels},"Tightest gap on the drive-on","Tips over, on the drive-on")'),
            self._when(MACHINE, f'IF({wheels},IF({gap}="","-",TEXT({gap},"0.0")&" {self.units.short}"),{tipping})'),
            self._when(MACHINE, f"IF({wheels},{self._at('gap', 'C')},{self._at('ramp_top', 'C')})"),
            self._when(MACHINE, f"IF({wheels},{self._at('gap', 'D')},{self._at('ramp_top', 'D')})"),
        )

    def _truck_line(self) -> Line:
        line, there = self._answer_line("hitch", TRUCK), self.there(TRUCK)

        def alone(formula: str, words: str) -> str:
            return f'IF({self.there(MACHINE)},IF({there},{formula},"{words}"),"")'

        lost = f'IF({self._none(TRUCK)},"none chosen","{WRONG} not on the Trucks sheet")'
        return Line(
            alone(line.label, "Truck"),
            f'IF({self.there(MACHINE)},IF({there},{line.figure},{lost}),"")',
            alone(line.verdict, NOT_CHECKED),
            alone(line.note, "Hitch, ratings of the truck and the driver's license are still to be checked."),
        )

    def _is_typed(self, key: str) -> str:
        return f"'{SHEET}'!${MARK_COLUMN}${figure_rows()[key]}=\"TYPED\""

    def _empty_weight(self) -> str:
        scale = self.listed(TRAILER, "Scale weight ({weight})")
        return (
            f'IF({self._is_typed("empty")},"Empty weight: as typed on {SHEET}.",IF({scale}="",'
            f'"Empty weight: as listed, with its options; not weighed.","Empty weight: weighed on a scale."))'
        )

    def _pin_share(self) -> str:
        low, high = self.used["low_share"], self.used["high_share"]
        stated = ",".join(
            f'OR({self.listed(TRAILER, heading)}<>"",{self._is_typed(key)})'
            for heading, key in (("Low pin share", "low_share"), ("High pin share", "high_share"))
        )
        rule = f'IF(AND({stated}),"as stated for the trailer","common practice where not stated, not a rule")'
        shares = f'TEXT({low},"0.0%")&" to "&TEXT({high},"0.0%")&", "&{rule}&"."'
        return (
            f'IF(AND(ISNUMBER({low}),ISNUMBER({high})),"Share of the gross on the hitch: "&{shares},'
            f'"Share of the gross on the hitch: not known, since the kind of hitch is not stated.")'
        )

    def _load_place(self) -> str:
        sits = self._at("sits", "B")
        how = f'IF({self._is_typed("place")},"as typed","the middle of where it may")'
        machine = (
            f'"The machine\'s centre sits at "&{sits}&" from the deck\'s front edge, "&{how}&"; it drives on forward, '
            f'on level ground, nothing springing."'
        )
        alone = '"The load\'s centre sits where the share on the hitch is kept; level ground at the ramp."'
        return f'IF(AND({self.there(MACHINE)},{sits}<>""),{machine},{alone})'

    def _typed_over(self) -> str:
        """The figures that are not the lists' own."""
        rows = figure_rows()
        marks = f"'{SHEET}'!${MARK_COLUMN}${min(rows.values())}:${MARK_COLUMN}${max(rows.values())}"
        names = "&".join(
            f'IF({self._is_typed(figure.key)},"; {_owned(figure.group, figure.heading)}","")'
            for figure in FIGURES
            if figure.group != PLACE
        )
        count = f'COUNTIF({marks},"TYPED")'
        return (
            f'IF({count}=0,"Every figure is as listed in the workbook.",IF({count}>{MOST_NAMED},{count}&" figures are '
            f'typed over on {SHEET} for this page, and marked there.",'
            f'"Typed over on {SHEET} for this page"&{names}&"."))'
        )


def _owned(group: str, heading: str) -> str:
    """A figure's name with whose it is."""
    name = heading.partition(" (")[0]
    return name if group == TRAILER else f"{group.lower()}'s {name}"


def shortened(formula: str) -> str:
    """Formula: a text, cut with a word about it where two lines do not hold it."""
    cut = f'LEFT({formula},{LONGEST_WORDS})&" ... and more on the Lot"'
    return f"IF(LEN({formula})>{LONGEST_WORDS},{cut},{formula})"
