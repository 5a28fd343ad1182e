"""Cells by key: what is typed, and expressions that are worked out when they are first asked for, each once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from .expression import Expression, value


class WorkedOut(dict[str, object]):
    """The cells of a sheet, as expressions read them.

    Args:
        given: Values by key: a number, a text, TRUE or FALSE, None for an empty cell, a list for a range.
        expressions: What the other keys show.
        around: Cells of other sheets that these read; looked into last.

    >>> from .expression import Cell
    >>> WorkedOut({"deck": 20.0}, {"double": Cell("deck") * 2})["double"]
    40.0
    """

    def __init__(
        self,
        given: Mapping[str, object],
        expressions: Mapping[str, Expression],
        around: Mapping[str, object] | None = None,
    ) -> None:
        super().__init__(given)
        self._expressions = expressions
        self._around = {} if around is None else around
        self._at_work: set[str] = set()

    def __missing__(self, key: str) -> object:
        if key not in self._expressions:
            return self._around[key]
        if key in self._at_work:
            message = f"{key} reads itself, by way of what it reads"
            raise ValueError(message)
        self._at_work.add(key)
        try:
            found = self[key] = value(self._expressions[key], self)
        finally:
            self._at_work.discard(key)
        return found

    # A dict answers these from what it holds so far.
    get, keys, items, values = Mapping.get, Mapping.keys, Mapping.items, Mapping.values  # type: ignore[assignment]
    __contains__, __eq__ = Mapping.__contains__, Mapping.__eq__
    __hash__ = None  # type: ignore[assignment]

    def __iter__(self) -> Iterator[str]:
        return iter({**dict.fromkeys(super().__iter__()), **self._expressions, **self._around})

    def __len__(self) -> int:
        return len({**dict.fromkeys(super().__iter__()), **self._expressions, **self._around})
