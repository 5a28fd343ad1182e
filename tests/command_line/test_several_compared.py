"""``compare`` over several lots: each trailer as its lot alone has it, differences by hand, and what is refused.

South is the demo yard. North has two trailers, one with a stock number that south has too; west is a metric lot.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.hauling.results import Hauling
from tests.command_line.running import tarelot

ASKED = ("--machine", "Backhoe 15")
NORTH = (
    {"Stock no.": "N1", "Make": "Corvane", "GVWR (lb)": 21_000.0, "Scale weight (lb)": 6_000.0, "Price": 18_000.0},
    {"Stock no.": "1105", "GVWR (lb)": 15_000.0, "Scale weight (lb)": 4_000.0, "Price": 12_345.0},
)
WEST = {"Stock no.": "W1", "GVWR (kg)": 9_000.0, "Scale weight (kg)": 2_500.0}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, demo_workbook: Path) -> Path:
    """The lots, two of them in a folder with one that is damaged; nothing may write there."""
    folder = tmp_path_factory.mktemp("compared")
    yards = folder / "yards"
    yards.mkdir()
    shutil.copy(demo_workbook, folder / "south.xlsx")
    pounds = Hauling([{"Machine": "Backhoe 15", "Weight (lb)": 15_000.0}], [{}])
    workbook.write(yards / "north.xlsx", [dict(row) for row in NORTH], [(None, None)], US, hauling=pounds)
    kilograms = Hauling([{"Machine": "Backhoe 15", "Weight (kg)": 6_800.0}], [{}])
    workbook.write(yards / "west.xlsx", [dict(WEST)], [(None, None)], METRIC, hauling=kilograms)
    return folder


def data(*arguments: str, cwd: Path) -> dict[str, object]:
    """What the command says for machines."""
    done = tarelot("compare", *arguments, *ASKED, "--json", cwd=cwd)
    assert (done.returncode, done.stderr) == (0, "")
    return dict(json.loads(done.stdout))


def refusal(*arguments: str, cwd: Path) -> str:
    """The one line with which the command refuses."""
    done = tarelot("compare", *arguments, *ASKED, cwd=cwd)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    return done.stderr.removeprefix("tarelot: ").removesuffix(" Nothing was changed.\n")


def test_each_trailer_is_as_its_lot_alone_has_it(made: Path) -> None:
    """Lots and stock numbers may stand in any order behind the first lot."""
    found = data("south.xlsx", "1108", "yards", "n1", "north:1105", cwd=made)
    alone = [
        data("south.xlsx", "1108", cwd=made)["trailers"],
        data("yards/north.xlsx", "N1", "1105", cwd=made)["trailers"],
    ]
    trailers = found["trailers"]
    assert isinstance(trailers, list)
    assert [trailer.pop("lot") for trailer in trailers] == ["south", "north", "north"]
    assert trailers == [trailer for lot in alone for trailer in lot]  # type: ignore[attr-defined]
    assert [lot["lot"] for lot in found["lots"]] == ["south", "north", "west"]  # type: ignore[attr-defined]
    assert (found["not_read"], found["passed_over"]) == ([], [])


def test_the_text_names_the_lot_of_each_trailer(made: Path) -> None:
    done = tarelot("compare", "south.xlsx", "yards/north.xlsx", "south:1105", "N1", *ASKED, cwd=made)
    assert (done.returncode, done.stderr) == (0, "")
    differences = data("south.xlsx", "yards/north.xlsx", "south:1105", "N1", cwd=made)["differences"]
    # By hand: 1105 is 14,900 on demo/lot.csv, and 18,000 - 14,900 = 3,100.
    assert differences["price"] == "lowest price: south:1105, 3,100 less than north:N1"  # type: ignore[index]
    headings = done.stdout.splitlines()[1]
    assert headings.index("south:1105") < headings.index("north:N1")
    words = " ".join(done.stdout.split())
    assert "Machine and truck: by the figures of each trailer's own lot." in words
    assert "For Backhoe 15; no truck was chosen, so none gets a YES." in words


@pytest.mark.parametrize(
    ("named", "said"),
    [
        (("1105",), "stock no. 1105 is on several lots, south, north: write south:1105 or north:1105."),
        (("9999",), "stock no. 9999 is not on any lot of south, north."),
        (("north:1108",), "stock no. 1108 is not on the lot north."),
        (("south:1120",), "stock no. 1120 stands on the lot south 2 times: leave only one of them."),
        (("N1", "north:n1"), "stock no. north:N1 is named twice: name each trailer once."),
        (
            ("south:1105", "N1", "1108", "1109", "1106"),
            "4 trailers stand side by side at most: 5 are named.",
        ),
        (("N1", "yards/west.xlsx", "W1"), "trailers stand side by side in the same units only: north is in lb, west"),
        ((), "no stock number is named: name one to four behind the lots."),
        (
            ("N1", "--pdf", "page.pdf"),
            "--pdf prints the sheet Compare of one lot: name one lot's file, or leave --pdf out.",
        ),
    ],
)
def test_what_is_refused(named: tuple[str, ...], said: str, made: Path) -> None:
    assert refusal("south.xlsx", "yards/north.xlsx", *named, cwd=made).startswith(said)
    assert not (made / "page.pdf").exists()


def test_a_lot_that_cannot_be_read_stops_no_other(made: Path, tmp_path: Path) -> None:
    for name in ("south.xlsx", "yards/north.xlsx"):
        shutil.copy(made / name, tmp_path)
    (tmp_path / "broken.xlsx").write_bytes((made / "south.xlsx").read_bytes()[:5_000])
    shutil.copy(made / "yards" / "west.xlsx", tmp_path / "other.xlsx")
    done = tarelot("compare", ".", "N1", "1108", "--machine", "Wheel loader 9", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("tarelot: broken.xlsx is damaged or not a workbook: ")
    assert "stock no. N1 is not on the lot south." in done.stderr  # north has no such machine: it is passed over
    done = tarelot("compare", ".", "N1", "1108", *ASKED, cwd=tmp_path)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "north:N1" in done.stdout
    assert "south:1108" in done.stdout


def test_one_lot_may_be_named_before_a_stock_number_of_its_own_only_where_there_are_several(made: Path) -> None:
    assert refusal("south.xlsx", "south:1105", cwd=made) == "stock no. south:1105 is not on the lot."
