"""Cells by key: what is typed, and expressions that are worked out when they are first asked for, each once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from .expression import Expression, value


class WorkedOut(Mapping[str, object]):
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
        self._found = dict(given)
        self._expressions = expressions
        self._around = {} if around is None else around

    def __getitem__(self, key: str) -> object:
        found = self._found
        if key not in found:
            if key not in self._expressions:
                return self._around[key]
            found[key] = _AT_WORK
            try:
                found[key] = value(self._expressions[key], self)
            finally:
                if found[key] is _AT_WORK:  # it failed, and fails the same way when it is asked for again
                    del found[key]
        elif found[key] is _AT_WORK:
            message = f"{key} reads itself, by way of what it reads"
            raise ValueError(message)
        return found[key]

    def __iter__(self) -> Iterator[str]:
        return iter({**self._found, **self._expressions, **self._around})

    def __len__(self) -> int:
        return len({**self._found, **self._expressions, **self._around})


_AT_WORK = object()
"""Stands for a value while it is worked out."""
