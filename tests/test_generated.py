"""Generated files are what the lists say, and writing them repeats byte for byte."""

from __future__ import annotations

from pathlib import Path

from tarelot.addin import generate


def test_every_generated_file_is_up_to_date(tmp_path: Path) -> None:
    files = generate.generated(tmp_path)
    assert {path.name for path in files} >= {
        "tarelot-lot-us.xlsx",
        "tarelot-lot-metric.xlsx",
        "tarelot-demo.xlsx",
        "tarelot.oxt",
        "README.md",
        "lot_functions.py",
    }
    stale = [path.name for path, content in files.items() if path.read_bytes() != content]
    assert stale == []
