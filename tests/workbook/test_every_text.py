"""The list of every text is up to date, so that a new one is read; and none holds a word of British offices.

The words are from memory of US and British spelling, no source.
"""

from __future__ import annotations

import re

from tests.workbook.every_text import LISTED, written

BRITISH = re.compile(
    r"colour|centre|grey\b|metre|tyre|licence|cheque|labour|behaviour|favour|organis|recognis|whilst|amongst|programme|kerb"
    r"|\blorry|bonnet|aluminium|towards\b|half way",
    re.IGNORECASE,
)


def test_the_list_is_up_to_date() -> None:
    said, listed = written().splitlines(), LISTED.read_text(encoding="utf-8").splitlines()
    new, gone = [line for line in said if line not in listed], [line for line in listed if line not in said]
    assert (new, gone) == ([], []), "read what is new, then: python -m tests.workbook.every_text"
    assert said == listed


def test_every_text_is_in_us_english() -> None:
    lines = LISTED.read_text(encoding="utf-8").splitlines()
    assert len(lines) > 2_000
    assert [line for line in lines if BRITISH.search(line)] == []
