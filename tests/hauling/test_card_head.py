"""The Card's head: the yard as Start says it, the date, the price as the person likes; verdicts; all on one page."""

from __future__ import annotations

import datetime
import subprocess
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.utils import coordinate_to_tuple

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.card.answers import MEANINGS
from tarelot.workbook_templates.hauling.quote import page as quote_page
from tarelot.workbook_templates.hauling.results import Hauling, what_if_results
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import at_a_glance, demo_yard, machines, trucks, yard
from tests.engines import ironcalc_model, stored_results
from tests.engines.office import Office
from tests.engines.stored_results import same

NAME, DATE, ADDRESS, LINE = "B1", "F1", "B2", "B3"
PRICE, PRICE_LABEL = (f"F{card.TITLE_ROW + line}" for line in (0, 1))
WORDS = f"C{card.VIEW_ROW + 1}"
VERDICT = f"B{card.VIEW_ROW + 1}"
OURS = {
    "yard_name": "North Gate Yard",
    "yard_address": "Third lane, by the mill",
    "yard_phone": "ask for Ida",
    "yard_line": "Open when the gate is open.",
}
SERIAL = 46_120.0  # days from 1899-12-30 to 2026-04-08: 46,022 to 2026-01-01, and 31 + 28 + 31 + 7 + 1
LETTER, A4 = (612.0, 792.0), (595.3, 841.9)


def write(path: Path, typed: Mapping[str, object], units: Units = US, choices: tuple[object, ...] = ()) -> None:
    """The fifth trailer of the demo yard, 1105 with a price of 14,900, and a head."""
    row = {**demo_yard.trailers()[4]}
    assert (row["Stock no."], row["Price"]) == ("1105", 14_900)
    if units is METRIC:
        row = {key: value for key, value in row.items() if "(" not in key}
    hauling = Hauling(
        [*(machines.demo_rows() if units is US else [{}])],
        [*(trucks.demo_rows() if units is US else [{}])],
        (choices or ("1105", None, None)),  # type: ignore[arg-type]
        card=typed,
    )
    options = [*demo_yard.options()] if units is US else [(None, None)]
    workbook.write(path, [row, {}], options, units, hauling=hauling)


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook with nothing typed for its head."""
    path = tmp_path_factory.mktemp("head") / "lot.xlsx"
    write(path, {})
    return path


@pytest.fixture(scope="module")
def in_ironcalc(blank: Path) -> object:
    return ironcalc_model.load(blank)


def places_of(typed: Mapping[str, object]) -> dict[str, object]:
    """What is typed, by sheet and cell; every other cell of the head blank."""
    cells = {place if "!" in place else f"Card!{place}": key for key, place in letterhead.places().items()}
    return {cell.replace("$", ""): typed.get(key) for cell, key in cells.items()}


def stored_on_the_card(typed: Mapping[str, object]) -> dict[str, object]:
    """What our own expressions come to over the same lot, which is what a new workbook stores."""
    lot = read_lot_rows()
    hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], ("1105", None, None), card=typed)
    return dict(what_if_results(lot, hauling, US)[card.SHEET])


@cache
def read_lot_rows() -> list[dict[str, object]]:
    """The one trailer's inputs and results."""
    row = demo_yard.trailers()[4]
    return [{**row, **lot_results([row], [*demo_yard.options()], US)[0]}]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ({}, ["", "", "", "", "", ""]),
        (
            OURS,
            ["North Gate Yard", "", "Third lane, by the mill  ·  ask for Ida", "Open when the gate is open.", "", ""],
        ),
        ({"yard_phone": "ask for Ida"}, ["", "", "ask for Ida", "", "", ""]),
        ({"yard_price": "from the Lot"}, ["", "", "", "", "14,900", "Price"]),
        ({"yard_price": "from the Lot", "yard_price_words": "$"}, ["", "", "", "", "$14,900", "Price"]),
        ({"yard_price": "not shown", "yard_price_words": "$"}, ["", "", "", "", "", ""]),
        ({"yard_price_words": "$", "card_price": 12_500.5}, ["", "", "", "", "$12,500.50", "Price"]),
        ({"yard_price_words": "from", "card_price": 12_500}, ["", "", "", "", "from 12,500", "Price"]),
        ({"yard_price_words": "from $", "card_price": 12_500}, ["", "", "", "", "from $12,500", "Price"]),
        ({"yard_price_words": "EUR ", "card_price": 12_500}, ["", "", "", "", "EUR 12,500", "Price"]),
        ({"yard_price": "from the Lot", "card_price": "sold"}, ["", "", "", "", "sold", "Price"]),
        # 1 is TRUE in LibreOffice; 0 is a blank, as some programs read one
        ({"yard_price_words": "$", "card_price": 1.0}, ["", "", "", "", "check figures", "Price"]),
        ({"yard_price_words": "$", "card_price": -5.0}, ["", "", "", "", "check figures", "Price"]),
        ({"yard_price": "from the Lot", "card_price": 0.0}, ["", "", "", "", "14,900", "Price"]),
        ({"card_price": 0.0}, ["", "", "", "", "", ""]),
        ({"card_date": SERIAL}, ["", SERIAL, "", "", "", ""]),
        ({"card_date": "first week of May"}, ["", "first week of May", "", "", "", ""]),
    ],
)
def test_the_head_says_what_is_typed_and_nothing_where_it_is_blank(
    typed: dict[str, object], expected: list[object], blank: Path, in_ironcalc: Any, office: Office
) -> None:
    """In LibreOffice and IronCalc, where it is typed, and in what we store: every cell of the Card."""
    ours = stored_on_the_card(typed)
    assert [ours[cell] or "" for cell in (NAME, DATE, ADDRESS, LINE, PRICE, PRICE_LABEL)] == expected
    cells = places_of(typed)
    shown = office.edit_and_read(blank, cells, [f"Card!{cell}" for cell in ours])  # type: ignore[arg-type]
    in_libreoffice = dict(zip(ours, shown, strict=True))
    assert [one for one, value in ours.items() if not same(value, in_libreoffice[one])] == []
    sheets = {name: index for index, name in enumerate(openpyxl.load_workbook(blank, read_only=True).sheetnames)}
    for cell, value in cells.items():
        sheet, _, place = cell.partition("!")
        said = "" if value is None else f"{value:.15g}" if isinstance(value, float) else str(value)
        in_ironcalc.set_user_input(sheets[sheet], *coordinate_to_tuple(place), said)
    in_ironcalc.evaluate()
    there = {one: in_ironcalc.get_cell_value(sheets["Card"], *coordinate_to_tuple(one)) for one in ours}
    assert [one for one, value in ours.items() if not same(value, there[one])] == []


@pytest.mark.parametrize(
    ("price", "on_card", "on_quote", "together"),
    [
        (14_900.0, "$14,900", 14_900, 14_900),
        (None, "", "price not stated", 0),
        (0.0, "", "price not stated", 0),
        (1.0, "check figures", "▲ price cannot be used", 0),
        (True, "check figures", "▲ price cannot be used", 0),
        (-5.0, "check figures", "▲ price cannot be used", 0),
        ("call", "check figures", "▲ price cannot be used", 0),
    ],
)
def test_card_quote_and_start_agree_on_what_is_a_price(
    price: object, on_card: str, on_quote: object, together: float, tmp_path: Path, office: Office
) -> None:
    """As stored and in LibreOffice, which makes 1 of TRUE; the trailer is on the lot, and alone there."""
    path = tmp_path / "lot.xlsx"
    row = {**demo_yard.trailers()[4], "Price": price, "Status": "on lot"}
    card_typed = {"yard_price": "from the Lot", "yard_price_words": "$"}
    hauling = Hauling([{}], [{}], ("1105", None, None), card=card_typed)
    workbook.write(path, [row], [*demo_yard.options()], US, hauling=hauling)
    expected = [on_card, on_quote, together]
    quoted = quote_page.cells()["trailer_price"].replace("$", "")
    places = (card.SHEET, PRICE), ("Quote", quoted), ("Start", f"D{at_a_glance.STATUS_ROW + 1}")
    stored = [stored_results.stored(path, sheet).get(cell) for sheet, cell in places]
    assert [one or 0 if place == 2 else one or "" for place, one in enumerate(stored)] == expected
    assert list(office.edit_and_read(path, {}, ["!".join(place) for place in places])) == expected


def test_what_is_stored_in_a_workbook_with_a_head_is_what_engines_make_of_it(tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    write(path, {**OURS, "yard_price": "from the Lot", "yard_price_words": "$", "card_date": SERIAL})
    assert stored_results.stored(path, card.SHEET)[PRICE] == "$14,900"
    assert stored_results.differing_in_libreoffice(path, card.SHEET, office) == []
    assert stored_results.differing_in_ironcalc(path, card.SHEET) == []


def test_what_a_person_types_in_the_cells_is_shown_at_once(tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    write(path, {})
    cells: dict[str, float | str | bool | None] = {
        yard.places()[key].replace("$", ""): value for key, value in {**OURS, "yard_price": "from the Lot"}.items()
    }
    cells["Card!J2"] = SERIAL
    shown = office.edit_and_read(path, cells, [f"Card!{cell}" for cell in (NAME, DATE, ADDRESS, LINE, PRICE)])
    assert list(shown) == [
        "North Gate Yard",
        SERIAL,
        "Third lane, by the mill  ·  ask for Ida",
        "Open when the gate is open.",
        "14,900",
    ]


def test_the_cells_to_type_are_labeled_cream_and_ask_for_no_volatile_day(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    workbook.write_new(path)
    book = openpyxl.load_workbook(path)
    first, page = book["Start"], book[card.SHEET]
    for entry in yard.ENTRIES:
        cell = first[yard.places()[entry.key].rpartition("!")[2].replace("$", "")]
        assert (cell.value, first.cell(cell.row, cell.column - 1).value) == (None, entry.label)
        assert any(cell.coordinate in area for area in first.conditional_formatting)
        (rule,) = (one for one in first.data_validations.dataValidation if cell.coordinate in one.sqref)
        assert rule.prompt == entry.asks
    assert page["J2"].value is None
    assert "J2" not in page.print_area
    formulas = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
    assert not [text for text in formulas if any(name in str(text) for name in ("TODAY(", "NOW("))]


def test_the_yard_is_read_back_wherever_its_labels_stand(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    write(path, {**OURS, "yard_price": "from the Lot"})
    assert yard.read(path) == {**OURS, "yard_price": "from the Lot"}
    book = openpyxl.load_workbook(path)
    book["Start"].move_range("I11:J18", rows=3, cols=1)
    book["Start"]["K17"] = 12  # the phone, as a number
    book.save(path)
    assert yard.read(path) == {**OURS, "yard_phone": "12", "yard_price": "from the Lot"}


def test_a_lot_without_these_cells_has_no_head() -> None:
    older = Path(__file__).parents[1] / "lots" / "1" / "tarelot-demo.xlsx"
    assert yard.read(older) == {}


def pages(pdf: Path) -> list[str]:
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
    return text.split("\f")[:-1]


def sizes(pdf: Path) -> tuple[float, float]:
    """Width and height of its page in points, as poppler says them."""
    about = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    words = next(line for line in about.splitlines() if line.startswith("Page size:")).split()
    return float(words[2]), float(words[4])


def test_the_command_prints_the_yard_the_days_date_and_the_price(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Fixed(datetime.date):
        @classmethod
        def today(cls) -> datetime.date:
            return cls(2026, 4, 8)

    monkeypatch.setattr(datetime, "date", Fixed)
    path = tmp_path / "lot.xlsx"
    write(path, {**OURS, "yard_price": "from the Lot", "yard_price_words": "$", "card_date": "long ago"})
    assert main(["card", str(path), "1105", "--out", str(tmp_path / "one")]) == 0
    assert main(["card", str(path), "1105", "--price", "sold", "--out", str(tmp_path / "two")]) == 0
    (one,), (two,) = pages(tmp_path / "one/card-1105.pdf"), pages(tmp_path / "two/card-1105.pdf")
    for said in ("North Gate Yard", "Third lane, by the mill", "ask for Ida", "Open when the gate", "April 8, 2026"):
        assert said in one
        assert said in two
    assert "$14,900" in one
    assert "sold" in two
    assert "14,900" not in two
    assert "For this page" not in one


def test_a_price_of_several_trailers_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "lot.xlsx"
    write(path, {})
    assert main(["card", str(path), "--all", "--price", "1", "--out", str(tmp_path / "none")]) == 2
    assert "--price is of a single trailer" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()


def test_each_verdict_stands_in_its_word_with_what_it_means(tmp_path: Path) -> None:
    # Stock no. 1105 holds 14,040: an excavator of 30,900 is too much, a wheel loader of 12,800 with the tandem is a
    # yes in the demo's own figures, and without a truck nobody can be sure.
    found = {}
    for machine, truck in (("Excavator 14", None), ("Wheel loader 9", None), ("Wheel loader 9", "Tandem dump 58")):
        path = tmp_path / f"{machine} {truck}.xlsx"
        write(path, {}, choices=("1105", machine, truck))
        cells = stored_results.stored(path, card.SHEET)
        found[str(cells[VERDICT])] = cells[WORDS]
    assert found == MEANINGS


@pytest.mark.parametrize(("units", "paper"), [(US, LETTER), (METRIC, A4)], ids=["letter", "A4"])
def test_the_fullest_card_is_one_page(units: Units, paper: tuple[float, float], tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    typed = {entry.key: "m" * entry.greatest for entry in yard.ENTRIES if not entry.choices}
    choices = ("1105", "Excavator 14", "Tandem dump 58") if units is US else ()
    write(path, {**typed, "card_price": "m" * 40, "card_date": SERIAL}, units, choices)
    book = openpyxl.load_workbook(path)
    for other in book.worksheets:
        if other.title != card.SHEET:
            other.sheet_state, other.print_area = "hidden", None
    book.active = book.index(book[card.SHEET])
    book.save(path)
    printed = office.convert(path, tmp_path, "pdf")
    found = [page for page in pages(printed) if "Card, page" in page]
    assert len(found) == 1
    assert "page 1 of 1" in found[0]
    assert sizes(printed) == pytest.approx(paper, abs=0.5)
    assert "###" not in found[0]


def test_every_broken_rule_stands_on_the_page_with_its_amount(tmp_path: Path) -> None:
    # The lightest trailer under the heaviest machine breaks 10 rules; each ends in an amount or names what differs.
    path = tmp_path / "lot.xlsx"
    hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], ("1101", "Excavator 14", "Tandem dump 58"))
    workbook.write(path, demo_yard.trailers(), [*demo_yard.options()], US, hauling=hauling)
    book = openpyxl.load_workbook(path)
    (place,) = (cell.row for cell in book["Drive-on"]["A"] if cell.value == "broken")
    page = str(stored_results.stored(path, card.SHEET)[f"B{card.VIEW_ROW + 2}"])
    broken = str(stored_results.stored(path, "Drive-on")[f"B{place}"])
    assert broken.count(";") >= 9
    assert page == f"What does not fit: {broken}"
