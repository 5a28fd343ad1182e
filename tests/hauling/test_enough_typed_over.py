"""What would be enough, typed over on What-if as a person types it: its rules are kept, and with 1 % less they are not.

LibreOffice works the sheet out; which rules an amount is said for is asked of the rules themselves, without a sheet.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest

from tarelot.calc.rules.hauling import judge
from tarelot.calc.rules.hauling.enough import Enough
from tarelot.calc.rules.hauling_rule import NO
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.asked import state_key
from tarelot.workbook_templates.hauling.what_if.answers import places
from tarelot.workbook_templates.hauling.what_if.rows import typed
from tests.engines.office import Office, Value
from tests.hauling import yards
from tests.hauling_rules.test_enough import MENDED, rules_of, said

CHOICES = 120
PLACES = {key: place.replace("$", "").replace("'", "") for key, place in places(US, elsewhere=True).items()}


def states_of(rules: Iterable[str]) -> list[str]:
    """The cells of What-if that say how it stands with these rules."""
    return [PLACES[f"shown {state_key(rule)}"] for rule in sorted(rules)]


def less(row: Enough, amount: float) -> float:
    """One step less than is enough."""
    return amount - 1 if row.unit == "count" else amount * (1.01 if row.is_most else 0.99)


@pytest.fixture(scope="module")
def workbook_of(tmp_path_factory: pytest.TempPathFactory) -> tuple[yards.Yard, Path]:
    """A yard made by chance, as a workbook."""
    yard = yards.changed_by_chance(9_150)
    path = tmp_path_factory.mktemp("yard") / "lot.xlsx"
    yard.write(path)
    return yard, path


def test_each_amount_is_enough_where_it_is_typed(workbook_of: tuple[yards.Yard, Path], office: Office) -> None:
    yard, path = workbook_of
    refused = sorted(choice for choice, verdict in yard.verdicts.items() if verdict[0] == NO)
    seen: Counter[str] = Counter()
    for choice in random.Random(9_150).sample(refused, CHOICES):
        given = yard.read_of(choice)
        chosen: dict[str, Value] = {**yards.what_if_edits(yard.stock(choice[0]), *choice[1:])}
        for row, amount in said(judge(given, asked.measures(US)).enough):
            rules = rules_of(given, row, amount, asked.measures(US))
            cell = PLACES[typed(row.figure).key]
            rounds: list[dict[str, Value]] = [chosen | {cell: value} for value in (amount, less(row, amount))]
            with_it, with_less = office.edit_and_read_often(path, rounds, states_of(rules))
            assert set(with_it) <= set(MENDED), (choice, row.figure, amount, rules, with_it)
            assert not set(with_less) <= set(MENDED), (choice, row.figure, amount, rules, with_less)
            seen[row.figure] += 1
    assert sum(seen.values()) > CHOICES / 2, seen
    assert len(seen) >= 10, seen
