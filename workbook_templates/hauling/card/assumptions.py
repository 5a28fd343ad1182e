"""What the figures of the Card rest on, in words."""

from __future__ import annotations

from tarelot.workbook_templates.hauling.card.cells import (
    CHECK,
    CONFLICTS,
    ENTRIES,
    LOAD_CENTRE,
    NOT_CHECKED_THERE,
    CardCells,
)
from tarelot.workbook_templates.hauling.questions import WRONG
from tarelot.workbook_templates.hauling.what_if.answers import distance
from tarelot.workbook_templates.hauling.what_if.rows import FIGURES, MACHINE, PLACE, TRAILER
from tarelot.workbook_templates.hauling.what_if.sheet import SHEET

LONGEST_WORDS = 260
"""Letters of a free text that two lines of the page hold."""
MOST_NAMED = 4
"""Typed figures that a line of the page names."""


class CardAssumptions(CardCells):
    """The formulas of what was assumed."""

    def assumptions(self) -> tuple[tuple[str, str], ...]:
        """What the figures rest on: the mark before each line, and its words."""
        words = (self._empty_weight(), self._pin_share(), self._load_place(), self._typed_over())
        found = [('"·"', formula) for formula in words]
        conflicts, missing, entries = (
            self.listed(TRAILER, heading) for heading in (CONFLICTS, NOT_CHECKED_THERE, ENTRIES)
        )
        none = '"Checks of the trailer: sticker and parts agree, as far as they are stated."'
        first = f'"Found by the checks of the trailer, to be settled first: "&{shortened(conflicts)}&"."'
        agree = f'IF({conflicts}="",{none},{first})'
        full = '"Every check of the ratings had its figures."'
        lacking = f'IF({missing}="",{full},"Not checked, for want of figures: "&{shortened(missing)}&".")'
        lacking = f'IF({entries}="",{lacking},"Entries of the trailer to be settled first: "&{shortened(entries)})'
        row = f"ISNUMBER({self.value('row of Trailer')})"
        found += [
            (f'IF({conflicts}="","·","{WRONG}")', f'IF({row},{agree},"")'),
            (f'IF({entries}="","·","{WRONG}")', f'IF({row},{lacking},"")'),
        ]
        there = self.there(TRAILER)
        return tuple(
            (f'IF({there},IFERROR({mark},"{WRONG}"),"")', f'IF({there},IFERROR({words},"{CHECK}"),"")')
            for mark, words in found
        )

    def _empty_weight(self) -> str:
        scale = self.listed(TRAILER, "Scale weight ({weight})")
        return (
            f'IF({self.is_typed("empty")},"Empty weight: as typed on {SHEET}.",IF({scale}="",'
            f'"Empty weight: as listed, with its options; not weighed.","Empty weight: weighed on a scale."))'
        )

    def _pin_share(self) -> str:
        low, high = self.used["low_share"], self.used["high_share"]
        stated = ",".join(
            f'OR({self.listed(TRAILER, heading)}<>"",{self.is_typed(key)})'
            for heading, key in (("Low pin share", "low_share"), ("High pin share", "high_share"))
        )
        rule = f'IF(AND({stated}),"as stated for the trailer","common practice where not stated, not a rule")'
        shares = f'TEXT({low},"0.0%")&" to "&TEXT({high},"0.0%")&", "&{rule}&"."'
        return (
            f'IF(AND(ISNUMBER({low}),ISNUMBER({high})),"Share of the gross on the hitch: "&{shares},'
            f'"Share of the gross on the hitch: not known, since the kind of hitch is not stated.")'
        )

    def _load_place(self) -> str:
        sits = self.at("sits", "B")
        how = f'IF({self.is_typed("place")},"as typed","the middle of where it may")'
        machine = (
            f'"The machine\'s centre sits at "&{sits}&" from the deck\'s front edge, "&{how}&"; it drives on forward, '
            f'on level ground, nothing springing."'
        )
        low, high = (self.listed(TRAILER, heading) for heading in LOAD_CENTRE)
        known = f"AND(ISNUMBER({low}),ISNUMBER({high}),{self.typed_count()}=0)"
        full = (
            f'"A load of the safe payload keeps the share on the hitch with its centre "&{distance(low, self.units)}'
            f'&" to "&{distance(high, self.units)}&" from the deck\'s front edge; level ground at the ramp."'
        )
        general = '"The load\'s centre sits where the share on the hitch is kept; level ground at the ramp."'
        alone = f"IF({known},{full},{general})"
        return f'IF(AND({self.there(MACHINE)},{sits}<>""),{machine},{alone})'

    def _typed_over(self) -> str:
        """The figures that are not the lists' own."""
        count = self.typed_count()
        names = "&".join(
            f'IF({self.is_typed(figure.key)},"; {_owned(figure.group, figure.heading)}","")'
            for figure in FIGURES
            if figure.group != PLACE
        )
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
