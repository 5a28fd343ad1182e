"""What the yard changed or switched off on its Limits sheet is said beside the verdict, and the rules use it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if.answers import SUMMARY, WORDS
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
    """Verdict and cautions on What-if, and the cautions on the Card."""
    what_if, page = stored(path, "What-if"), stored(path, card.SHEET)
    cells = (SUMMARY, WORDS["cautions"][1])
    return (*(str(what_if[cell.replace("$", "")]) for cell in cells), str(page[f"B{card.VIEW_ROW + 4}"]))  # type: ignore[return-value]


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
