"""``tarelot card --quote``: a quote beside each card."""

from __future__ import annotations

import datetime
import subprocess
from pathlib import Path

import pytest

from tarelot.addin.command_line.main import main


def text_of(pdf: Path) -> str:
    """The text of a PDF, its pages parted by form feeds."""
    return subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout


def test_a_quote_stands_beside_the_card(
    demo_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """1105 by words of its own: 12,000, and 290 + 875 + 185 for its options."""
    day = datetime.date.today() + datetime.timedelta(days=30)
    out = tmp_path / "cards"
    asked = ["card", str(demo_workbook), "1105", "--quote", "--valid-to", day.isoformat(), "--price", "12000"]
    assert main([*asked, "--out", str(out)]) == 0
    assert "1 card and 1 quote" in capsys.readouterr().out
    assert sorted(path.name for path in out.iterdir()) == ["card-1105.pdf", "quote-1105.pdf"]
    said = text_of(out / "quote-1105.pdf")
    assert said.count("\f") == 1
    for words in ("$13,350", "13,350.00", "1,350.00", "875.00", "Quote, page 1 of 1", "certified scale", f"{day:%Y}"):
        assert words in said
    assert "For this quote" not in said
    assert "What it costs" not in text_of(out / "card-1105.pdf")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--valid-to", "2099-01-01"], "--valid-to needs --quote"),
        (["--quote", "--valid-to", "31.12.2099"], "'31.12.2099' is no day: write it as 2026-12-31"),
        (["--quote", "--valid-to", "2020-01-01"], "--valid-to 2020-01-01 is over"),
    ],
)
def test_a_day_that_cannot_be_meant_is_refused(
    more: list[str], said: str, demo_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        code = main(["card", str(demo_workbook), "1105", *more, "--out", str(tmp_path / "out")])
    except SystemExit as stopped:
        code = int(str(stopped.code))
    assert code == 2
    assert said in " ".join(capsys.readouterr().err.split())
    assert not (tmp_path / "out").exists()
