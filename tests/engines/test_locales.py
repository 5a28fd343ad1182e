"""Every stored result of the demo workbook, in the locales of people who write a decimal comma.

What the program works out must be what was stored, but for two signs inside a number that a text holds: FIXED and the
joining of a number with a text write the decimal sign and, where thousands are grouped, the sign between them as the
person does. Both signs are those of Unicode's locale data (CLDR, from memory); between French groups LibreOffice 25.2
was seen to write the wide no-break space (U+00A0), where CLDR has the narrow one (U+202F) for France.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.engines.office import Office
from tests.engines.stored_results import differing_everywhere

GROUPING = {"de-DE": ".", "fr-FR": "\u00a0\u202f", "fr-CA": "\u00a0"}
"""What may stand between thousands, by locale; the decimal sign is a comma in all of them."""
pytestmark = pytest.mark.slow


@dataclass(frozen=True)
class Abroad:
    """A LibreOffice in one of those locales, and what it may write between thousands."""

    office: Office
    grouping: str

    def reads_the_same(self, stored: object, theirs: object) -> bool:
        """Whether two texts are the same but for those two signs, each between two digits."""
        if not (isinstance(stored, str) and isinstance(theirs, str) and len(stored) == len(theirs)):
            return False
        abroad = {".": ",", ",": self.grouping}
        return all(
            here == there
            or (there in abroad.get(here, "") and stored[at - 1 : at].isdigit() and stored[at + 1 : at + 2].isdigit())
            for at, (here, there) in enumerate(zip(stored, theirs, strict=True))
        )


@pytest.fixture(scope="module", params=GROUPING)
def abroad(request: pytest.FixtureRequest) -> Iterator[Abroad]:
    """An office in each locale in turn."""
    with Office(locale=request.param) as running:
        yield Abroad(running, GROUPING[request.param])


def test_the_locale_is_the_persons(abroad: Abroad) -> None:
    """Otherwise the next test would compare an office at home with itself."""
    assert abroad.office.evaluate(["FIXED(1.5,1,TRUE)", '1.5&""', "LEN(FIXED(1234.5,1))"]) == ["1,5", "1,5", 7.0]
    [grouped] = abroad.office.evaluate(["FIXED(1234.5,1)"])
    assert str(grouped)[1] in abroad.grouping
    assert abroad.reads_the_same("1,234.5", grouped)
    assert not abroad.reads_the_same("1,234.6", grouped)
    assert not abroad.reads_the_same("1,2345", grouped)


def test_stored_results(abroad: Abroad, demo_workbook: Path) -> None:
    differing = differing_everywhere(demo_workbook, abroad.office.recalculate(demo_workbook))
    assert [one for one in differing if not abroad.reads_the_same(*one[2:])] == []
    assert differing  # numbers do stand in texts
