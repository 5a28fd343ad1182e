"""What the yard changed or switched off on its Limits sheet is said beside the verdict, and the rules use it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.calc.rules.limits import LIMITS as EVERY_LIMIT
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis import limits as places
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if.answers import SUMMARY, WORDS
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_libreoffice, stored

CHOICES = ("1106", "Backhoe 15", "Tandem dump 58")  # a yes by our limits: the trailer is 102 in wide
LOWER: Typed = {"legal_width": (98.0, None)}
HIGHER: Typed = {"legal_width": (104.0, None)}
LIMITS = {"none": None, "lower": LOWER, "higher": HIGHER}


def write(path: Path, typed: Typed | None) -> None:
    """The demo yard with limits of its own."""
    hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], CHOICES)
    workbook.write(
        path,
        demo_yard.trailers(),
        [*demo_yard.options()],
        US,
        hauling=hauling,
        match_choices=CHOICES[1:],
        typed=typed,
    )


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("limits")
    found = {name: folder / f"{name}.xlsx" for name in LIMITS}
    for name, path in found.items():
        write(path, LIMITS[name])
    return found


def said(path: Path) -> tuple[str, str, str]:
    """Verdict and cautions on What-if, and what the Card says of limits."""
    what_if, page = stored(path, "What-if"), stored(path, card.SHEET)
    verdict, cautions = (str(what_if[cell.replace("$", "")]) for cell in (SUMMARY, WORDS["cautions"][1]))
    return verdict, cautions, "".join(str(words) for words in page.values() if "own limits" in str(words))


def test_a_changed_limit_is_used_and_said(books: dict[str, Path]) -> None:
    found = {name: said(path) for name, path in books.items()}
    assert {name: one[0] for name, one in found.items()} == {"none": "YES", "lower": "NO", "higher": "YES"}
    for name, inches in (("lower", 98), ("higher", 104)):
        begins = f"the yard's own limits: Legal width: {inches} in instead of 102 in"
        assert found[name][1].startswith(begins), found[name][1]
        assert begins in found[name][2]
    assert "own limits" not in "".join(found["none"])


def test_match_says_it_too(books: dict[str, Path], capsys: pytest.CaptureFixture[str]) -> None:
    for name, path in books.items():
        answers = [str(one) for one in stored(path, "Match").values() if " of 24 trailers." in str(one)]
        assert [one.endswith("By the yard's own limits: see Limits.") for one in answers] == [name != "none"]
        chosen = ["match", str(path), "--machine", CHOICES[1], "--truck", CHOICES[2]]
        assert main([*chosen, "--json"]) == 0
        data = json.loads(capsys.readouterr().out)
        (row,) = (row for row in data["trailers"] if row["stock"] == CHOICES[0])
        assert (row["verdict"], data["own_limits"] != "") == ("NO" if name == "lower" else "YES", name != "none")
        assert main(chosen) == 0
        assert ("By the yard's own limits: " in capsys.readouterr().out) == (name != "none")


@pytest.mark.parametrize("sheet", ["What-if", "Card", "Match"])
def test_libreoffice_says_the_same(books: dict[str, Path], sheet: str, office: Office) -> None:
    assert differing_in_libreoffice(books["lower"], sheet, office) == []


def test_only_what_a_yard_may_type_is_unlocked(books: dict[str, Path]) -> None:
    sheet = openpyxl.load_workbook(books["none"])["Limits"]
    assert sheet.protection.sheet
    assert sheet.protection.password is None
    open_cells = {cell.coordinate for row in sheet.iter_rows() for cell in row if not cell.protection.locked}
    rows = dict(enumerate(EVERY_LIMIT, places.FIRST_ROW))
    yours = {f"{places.TYPED}{row}" for row in rows}
    assert open_cells == yours | {f"{places.SWITCH}{row}" for row, limit in rows.items() if limit.may_switch_off}


def typed_by_hand(cell: str, text: str) -> list[dict[str, object]]:
    """What the keyboard does: a program that sets a cell's value asks no protection."""
    return [
        {"url": ".uno:GoToCell", "arguments": {"ToPoint": cell}},
        {"url": ".uno:EnterString", "arguments": {"StringName": text}},
    ]


def test_libreoffice_takes_what_a_yard_types_and_leaves_the_rest(books: dict[str, Path], office: Office) -> None:
    row = places.row_of("legal_width")
    gray = (places.OURS, places.USED, places.LEAST, places.GREATEST)
    calls = [call for letter in gray for call in typed_by_hand(f"$Limits.${letter}${row}", "500")]
    calls += typed_by_hand(f"$Limits.${places.TYPED}${row}", "98")
    values = office.dispatch(books["none"], calls)["values"]
    before, after = values[len(calls) - 2], values[-1]
    letters = [ord(letter) - ord("A") for letter in (places.TYPED, *gray)]
    verdict_row = int(SUMMARY.rpartition("$")[2]) - 1
    assert [before["Limits"][row - 1][place] for place in letters] == ["", 102, 102, 96, 108]
    assert [after["Limits"][row - 1][place] for place in letters] == [98, 102, 98, 96, 108]
    assert (before["What-if"][verdict_row][1], after["What-if"][verdict_row][1]) == ("YES", "NO")


def test_a_switch_that_is_not_taken_is_said_beside_the_verdict(tmp_path: Path) -> None:
    for number, (key, word, said_of_it) in enumerate(
        (
            ("legal_width", "of", "Legal width: ▲ only off is taken under Switched off"),
            ("chain_factor", "off", "Chain strength for each unit of GVWR: ▲ cannot be switched off"),
        )
    ):
        path = tmp_path / f"{number}.xlsx"
        write(path, {key: (None, word)})
        verdict, on_what_if, on_card = said(path)
        assert verdict == "YES"
        assert f"the yard's own limits: {said_of_it}" in on_what_if
        assert said_of_it in on_card


def test_import_undo_and_recalculate_work_on_a_protected_sheet(books: dict[str, Path], tmp_path: Path) -> None:
    path = Path(shutil.copy(books["lower"], tmp_path / "lot.xlsx"))
    more = tmp_path / "more.csv"
    more.write_text("Stock no.,GVWR (lb),Base weight (lb)\n2201,14000,3600\n", encoding="utf-8")
    before = said(path)
    assert main(["import", str(path), str(more), "--yes"]) == 0
    assert "2201" in {str(row.values["Stock no."]) for row in read_lot(path).rows}
    assert main(["undo", str(path)]) == 0
    assert "2201" not in {str(row.values["Stock no."]) for row in read_lot(path).rows}
    assert said(path) == before
    assert main(["recalculate", str(path)]) == 0
    assert said(path) == before
    assert read_lot(path).limits == {"legal_width": (98, None)}
    assert openpyxl.load_workbook(path)["Limits"].protection.sheet
