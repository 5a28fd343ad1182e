"""Figures by name for the independent judge, and how it asks for them."""

from __future__ import annotations

from collections.abc import Mapping

Set = Mapping[str, object]
STEPS = 160
NOISE = 1e-5
"""Pounds and inches that count as nothing here."""


class Figures:
    """Figures by name; a number that cannot be read is None, a word is in small letters."""

    def __init__(self, given: Set) -> None:
        self._given = given

    def __getattr__(self, name: str) -> float:
        return self._given[name]  # type: ignore[return-value]

    def says(self, name: str) -> str:
        return str(self._given.get(name) or "").strip().lower()

    def items(self, name: str) -> list[str]:
        return [part.strip() for part in self.says(name).replace(",", ";").split(";")]


def number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
