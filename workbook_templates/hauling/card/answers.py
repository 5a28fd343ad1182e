"""What the Card says about machine and truck: What-if's answers, and the words around the side view."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tarelot.workbook_templates.hauling.card.cells import CHECK, CONFLICTS, CardCells
from tarelot.workbook_templates.hauling.questions import NOT_CHECKED, WRONG
from tarelot.workbook_templates.hauling.what_if.answers import OPEN
from tarelot.workbook_templates.hauling.what_if.rows import FIRST_ROW, MACHINE, TRAILER, TRUCK
from tarelot.workbook_templates.hauling.what_if.sheet import FORMATS, SHEET

NOT_DRAWN = "Not drawn:"
TRUCK_ANSWERS = ("hitch", "truck_spare", "rear_axle", "front_axle", "license")


@dataclass(frozen=True)
class Line:
    """A line about the machine or the truck; each but the group is a formula."""

    label: str
    figure: str
    verdict: str
    note: str
    group: str = MACHINE
    number_format: str = "General"


class CardAnswers(CardCells):
    """The formulas about machine and truck."""

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
            '"Not yet: nothing wrong found, but the checks of the trailer found something, see below"'
            f'&{no_truck}&"."))))'
        )
        lost = f'{self.choice(MACHINE)}&" {WRONG} not on the Machines sheet."'
        alone = f'IF({self.none(MACHINE)},"No machine was chosen: the figures are those of the trailer alone.",{lost})'
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
        band, tight = (self.shown.captions[key] for key in ("band", "tight"))
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

    def _answers(self, letter: str) -> str:
        return f"'{SHEET}'!${letter}${FIRST_ROW}:${letter}${max(self.shown.rows.values())}"

    def _counts(self) -> tuple[str, str, str]:
        """How many answers are wrong, figures are missing, answers are open; the truck's only where there is one."""
        verdicts, notes = self._answers("C"), self._answers("D")
        first, last = (self.shown.rows[TRUCK_ANSWERS[place]] for place in (0, -1))
        of_truck = (
            f"COUNTIF('{SHEET}'!$D${first}:$D${last},\"{OPEN}\")"
            f"+COUNTIF('{SHEET}'!$C${first}:$C${last},\"{NOT_CHECKED}\")"
        )
        every = f'COUNTIF({notes},"{OPEN}")+COUNTIF({verdicts},"{NOT_CHECKED}")'
        open_rows = f"({every}-IF({self.there(TRUCK)},0,{of_truck}))"
        return f'COUNTIF({verdicts},"{WRONG}*")', f'COUNTIF({self.marks()},"missing")', open_rows

    def _when(self, group: str, formula: str) -> str:
        test = self.there(group) if group == MACHINE else f"AND({self.there(MACHINE)},{self.there(group)})"
        return f'IF({test},IFERROR({formula},"{CHECK}"),"")'

    def _answer_line(self, key: str, group: str = MACHINE) -> Line:
        answer, figure = self.shown.answers[key], self.at(key, "B")
        return Line(
            self._when(group, f'"{self.units.heading(answer.label)}"'),
            self._when(group, f'IF({figure}="","-",{figure})'),
            self._when(group, self.at(key, "C")),
            self._when(group, self.at(key, "D")),
            group,
            "General" if answer.kind == "text" else FORMATS[answer.kind],
        )

    def _span(self, label: str, low: str, high: str) -> Line:
        start, end = self.at(low, "B"), self.at(high, "B")
        return Line(
            self._when(MACHINE, f'"{label}"'),
            self._when(MACHINE, f'IF(OR({start}="",{start}="-"),"-",{start}&" to "&{end})'),
            self._when(MACHINE, self.at(low, "C")),
            self._when(MACHINE, self.at(low, "D")),
        )

    def _gap(self) -> Line:
        """The tightest gap; on tracks the break that the machine tips over."""
        wheels, gap = f"{self.value('wheels')}=1", self.at("gap", "B")
        tips = f"IF({self.value('tips at')}=3,{self.value('break at tail top')},{self.value('break at ramp top')})"
        tipping = f'IF({tips}="","-",TEXT({tips},"0.0")&"°")'
        return Line(
            self._when(MACHINE, f'IF({wheels},"Tightest gap on the drive-on","Tips over, on the drive-on")'),
            self._when(MACHINE, f'IF({wheels},IF({gap}="","-",TEXT({gap},"0.0")&" {self.units.short}"),{tipping})'),
            self._when(MACHINE, f"IF({wheels},{self.at('gap', 'C')},{self.at('ramp_top', 'C')})"),
            self._when(MACHINE, f"IF({wheels},{self.at('gap', 'D')},{self.at('ramp_top', 'D')})"),
        )

    def _truck_line(self) -> Line:
        line, there = self._answer_line("hitch", TRUCK), self.there(TRUCK)

        def alone(formula: str, words: str) -> str:
            return f'IF({self.there(MACHINE)},IF({there},{formula},"{words}"),"")'

        lost = f'IF({self.none(TRUCK)},"none chosen","{WRONG} not on the Trucks sheet")'
        return Line(
            alone(line.label, "Truck"),
            f'IF({self.there(MACHINE)},IF({there},{line.figure},{lost}),"")',
            alone(line.verdict, NOT_CHECKED),
            alone(line.note, "Hitch, ratings of the truck and the driver's license are still to be checked."),
        )
