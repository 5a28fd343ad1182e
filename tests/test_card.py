"""Cards: the PDF holds the trailer's figures and the cautions on one page; refusals are one line and write nothing."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from addin.command_line import main
from addin.libreoffice import install
from workbook_templates import workbook


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("card") / "demo.xlsx"
    workbook.write_demo(path)
    return path


def words(pdf: Path) -> str:
    """The text of a PDF, read by poppler."""
    return subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout


def test_a_card_holds_the_figures_and_the_cautions_on_one_page(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Stock no. 1105 by hand: scale 5,960; payload 20,000 - 5,960 = 14,040; pin 0.15 x 20,000 = 3,000.
    # 1123 lacks most of its figures.
    out = tmp_path / "cards"
    assert main(["card", str(demo), "1105", "1123", "--out", str(out)]) == 0
    assert "Written: 2 cards" in capsys.readouterr().out
    assert sorted(file.name for file in out.iterdir()) == ["card-1105.pdf", "card-1123.pdf"]
    text = words(out / "card-1105.pdf")
    assert text.count("\f") == 1
    for part in ("Brenmoor Deck 20", "5,960", "14,040", "3,000", "weighed on a scale", "10.0% to 15.0%"):
        assert part in text
    assert "certified scale" in text
    assert "certification labels" in text
    other = words(out / "card-1123.pdf")
    assert "not stated" in other
    assert "not weighed" in other
    assert "Not checked" in other
    assert main(["card", str(demo), "1105", "--out", str(out)]) == 2
    assert "card-1105.pdf already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["9999"], "stock no. 9999 is not on the lot"),
        (["1120"], "stock no. 1120 stands on the lot 2 times"),
        ([], "name stock numbers, or --all"),
        (["1105", "--all"], "name stock numbers, or --all"),
    ],
)
def test_what_cannot_be_made_is_refused_in_a_line(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], reason: str
) -> None:
    assert main(["card", str(demo), *arguments, "--out", str(tmp_path / "none")]) == 2
    error = capsys.readouterr().err
    assert reason in error
    assert error.count("\n") == 1
    assert not (tmp_path / "none").exists()


def test_without_libreoffice_one_line_says_so(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(install, "_program_folders", lambda: [])
    assert main(["card", str(demo), "1105", "--out", str(tmp_path / "none")]) == 2
    error = capsys.readouterr().err
    assert "LibreOffice is not installed" in error
    assert error.count("\n") == 1
    assert not (tmp_path / "none").exists()
