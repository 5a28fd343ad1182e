"""Where to measure: every length that is asked for is drawn, lettered, listed and named in its heading's note."""

from __future__ import annotations

import hashlib
import io
import math
import zipfile
import zlib
from pathlib import Path

import openpyxl
import pypdf
import pytest

from tarelot.addin import generate, pictures
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.lettered import LETTERS, LOT, MACHINES, TRUCKS, WHERE_TO_MEASURE
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines, trucks
from tarelot.workbook_templates.sheets.measuring import sheet, trailer
from tarelot.workbook_templates.sheets.measuring.drawing import drawing, pdf
from tarelot.workbook_templates.sheets.measuring.paper import Paper
from tarelot.workbook_templates.sheets.measuring.sketch import View

ASKED = {LOT: tuple(columns.inputs()), MACHINES: machines.COLUMNS, TRUCKS: trucks.COLUMNS}
HEADING_ROW = 4
LENGTH_UNITS = {US.name: ("(in)", "(ft)"), METRIC.name: ("(mm)", "(m)")}
PICTURE = Path(sheet.__file__).parents[2] / "pictures" / "where-to-measure.png"


@pytest.fixture(scope="module", params=[US, METRIC], ids=lambda units: units.name)
def units(request: pytest.FixtureRequest) -> Units:
    assert isinstance(request.param, Units)
    return request.param


@pytest.fixture(scope="module")
def book(units: Units, tmp_path_factory: pytest.TempPathFactory) -> openpyxl.Workbook:
    path = tmp_path_factory.mktemp("measure") / "new.xlsx"
    workbook.write_new(path, units)
    return openpyxl.load_workbook(path)


def typed_lengths(book: openpyxl.Workbook, name: str, units: Units) -> dict[str, str]:
    """Headings of a sheet's lengths that are typed, with their notes, as the workbook shows them."""
    typed = {units.heading(column.heading) for column in ASKED[name]}
    found = {cell.value: cell.comment.text for cell in book[name][HEADING_ROW] if cell.comment}
    return {head: note for head, note in found.items() if head in typed and head.endswith(LENGTH_UNITS[units.name])}


@pytest.mark.parametrize("name", ASKED)
def test_every_length_that_is_typed_stands_in_drawing_legend_and_note(
    book: openpyxl.Workbook, units: Units, name: str
) -> None:
    asked = typed_lengths(book, name, units)
    listed = {}
    lines = book[WHERE_TO_MEASURE].iter_rows(min_row=sheet.FIRST_ROW, min_col=2, max_col=3, values_only=True)
    thing = ""
    for letter, heading in lines:
        if heading is None:
            thing = letter or ""
        elif thing == sheet.THINGS[name]:
            listed[heading] = letter
    assert list(listed) == list(asked)  # in the order of the columns
    for heading, note in asked.items():
        assert note.endswith(f" {listed[heading]} in the drawing on Where to measure."), heading
    keys = {units.heading(column.heading): column.key for column in ASKED[name]}
    assert sorted(drawing().lengths[name]) == sorted(keys[heading] for heading in asked)  # each once


def test_the_drawing_shows_each_letter_once_a_thing() -> None:
    # Read back by pypdf, a general library: single capitals are letters of lengths, words are words.
    page = pypdf.PdfReader(io.BytesIO(pdf())).pages[0].get_contents()
    assert page is not None
    drawn = [str(operands[0]) for operands, operator in page.operations if operator == b"Tj"]
    letters = [words for words in drawn if len(words) == 1]
    assert sorted(letters) == sorted(letter for one in LETTERS.values() for letter in one.values())
    for words in ("Trailer", "Machine", "Truck", "front", "coupler", "hitch", "center"):
        assert words in drawn


def test_no_letter_looks_like_a_digit_and_none_stands_twice() -> None:
    for letters in LETTERS.values():
        assert len(set(letters.values())) == len(letters)
        assert not set(letters.values()) & {"I", "O"}


def test_what_has_no_length_has_no_letter(book: openpyxl.Workbook, units: Units) -> None:
    for name in ASKED:
        lengths = typed_lengths(book, name, units)
        others = [cell for cell in book[name][HEADING_ROW] if cell.comment and cell.value not in lengths]
        assert others
        assert not [cell.value for cell in others if "in the drawing" in cell.comment.text]


class Noted(View):
    """A view that keeps where each length is measured from and to, in inches."""

    def length(self, key: str, start: tuple, end: tuple, off: tuple, at: float = 0.5) -> None:  # type: ignore[type-arg]
        kept[key] = (start, end)


kept: dict[str, tuple[tuple[float, float], tuple[float, float]]] = {}


def test_the_trailers_lengths_are_drawn_as_the_checks_reckon_with_them() -> None:
    # Plane geometry: the tail's run and drop make its length, the ramp's run and what is left of the height its own;
    # the deck begins where Coupler to deck ends, the axle group's middle is that of its spread.
    paper = Paper(100, 100)
    trailer.side(Noted(paper, LOT, 0, 0, 1))
    size = {key: math.dist(*ends) for key, ends in kept.items()}
    (tail_start, tail_end), (ramp_start, foot) = kept["tail_length"], kept["ramp_length"]
    assert tail_start == kept["deck_length"][1]
    assert ramp_start == tail_end
    assert foot[1] == 0
    assert size["tail_length"] == pytest.approx(math.hypot(tail_end[0] - tail_start[0], size["tail_drop"]))
    rise = size["deck_height"] - size["tail_drop"]
    assert size["ramp_length"] == pytest.approx(math.hypot(foot[0] - ramp_start[0], rise))
    assert kept["to_deck"][0][0] == kept["to_axles"][0][0] == 0
    assert kept["to_deck"][1][0] == kept["deck_length"][0][0]
    first, last = kept["axle_spread"]
    assert kept["to_axles"][1][0] == (first[0] + last[0]) / 2


def chunks(content: bytes) -> dict[bytes, bytes]:
    """The parts of a PNG by kind, each with its check sum proven."""
    found, place = {}, 8
    while place < len(content):
        size = int.from_bytes(content[place : place + 4], "big")
        kind, part = content[place + 4 : place + 8], content[place + 8 : place + 8 + size]
        assert zlib.crc32(kind + part) == int.from_bytes(content[place + 8 + size : place + 12 + size], "big")
        found[kind] = part
        place += 12 + size
    return found


def test_the_picture_is_of_todays_drawing() -> None:
    stamp = chunks(PICTURE.read_bytes())[b"tEXt"]
    assert stamp == b"Drawing\0" + hashlib.sha256(pdf()).hexdigest().encode(), "make pictures"


def test_the_picture_is_what_poppler_draws() -> None:
    # The PNG decoded by hand (no filter, a palette) against the dots of pdftoppm; 256 colors lose a little.
    parts = chunks(PICTURE.read_bytes())
    wide, high, dots = pictures.drawn()
    lines = zlib.decompress(parts[b"IDAT"])
    palette = [parts[b"PLTE"][place : place + 3] for place in range(0, len(parts[b"PLTE"]), 3)]
    assert len(lines) == high * (wide + 1)
    own = b"".join(palette[dot] for row in range(high) for dot in lines[row * (wide + 1) + 1 : (row + 1) * (wide + 1)])
    apart = sum(abs(a - b) for a, b in zip(own, dots, strict=True)) / len(dots)
    assert apart < 1.0  # of 255, on average: another release of poppler may smooth edges otherwise


def test_the_workbook_holds_the_picture_byte_for_byte_and_links_lead_to_it(tmp_path: Path) -> None:
    path = tmp_path / "new.xlsx"
    workbook.write_new(path)
    with zipfile.ZipFile(path) as package:
        images = [name for name in package.namelist() if name.startswith("xl/media/")]
        assert [package.read(name) for name in images] == [PICTURE.read_bytes()]
    book = openpyxl.load_workbook(path)
    for name in ASKED:
        links = [cell.hyperlink.location for row in book[name]["A1:H3"] for cell in row if cell.hyperlink]
        assert links == ["'Where to measure'!A1"]
    back = {cell.hyperlink.location for row in book[WHERE_TO_MEASURE] for cell in row if cell.hyperlink}
    assert back == {f"'{name}'!A1" for name in ASKED}


def test_the_readme_lists_every_letter() -> None:
    begin, end = generate.LETTERS_MARKS
    table = generate.README.read_text(encoding="utf-8").partition(begin)[2].partition(end)[0]
    for name, letters in LETTERS.items():
        names = {column.key: column.heading.partition(" (")[0] for column in ASKED[name]}
        for key, letter in letters.items():
            assert f"**{letter}** {names[key]}" in table
