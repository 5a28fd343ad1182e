"""What a tire may carry by the load index on its sidewall."""

from __future__ import annotations

from .glossary import LOAD_INDEX
from .law import KILOGRAMS_PER_POUND, is_kilograms
from .tables import LOAD_INDEX_KG


def tire_load(load_index: float, unit: str | None = None) -> float:
    """Load that one tire may carry, in pounds (not rounded) or kilograms.

    The table of ISO 4000-1; pounds = kilograms / 0.45359237. The load printed on the sidewall governs.

    Args:
        load_index: Load index, whole, 0 to 150.
        unit: ``lb`` (where absent) or ``kg``.

    Raises:
        OutOfRange: An index outside the table.
        NotInTable: Another unit.

    Source: ISO 4000-1 load-index table, see ``data/load_index.csv``.

    >>> tire_load(121, "kg")
    1450.0
    """
    LOAD_INDEX.check(load_index)
    kilograms = LOAD_INDEX_KG[int(load_index)]
    return kilograms if is_kilograms(unit) else kilograms / KILOGRAMS_PER_POUND
