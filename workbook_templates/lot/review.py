"""What a lot workbook says of its trailers: figures and conflicts, calculated from the inputs as they stand."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from tarelot.workbook_templates.lot.columns import KEY
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.lot.results import Value, lot_results
from tarelot.workbook_templates.lot.written import CONFLICT


@dataclass(frozen=True)
class Reviewed:
    """One trailer: who it is, what it may carry, what conflicts. Weights in the workbook's unit.

    ``conflicts`` counts those found; ``verdict`` says it as the Lot does: ▲ 2, ? 3 not checked, or none.
    """

    row: int
    stock: str
    trailer: str
    status: str
    payload: Value
    safe_payload: Value
    limited_by: Value
    pin_weight: Value
    conflicts: int
    verdict: Value
    what_conflicts: Value
    not_checked: Value
    entry_check: Value


@dataclass(frozen=True)
class Review:
    """All trailers of a workbook, with totals."""

    weight_unit: str
    trailers: tuple[Reviewed, ...]

    @property
    def with_conflicts(self) -> int:
        """How many trailers have a conflict."""
        return sum(trailer.conflicts > 0 for trailer in self.trailers)

    @property
    def not_fully_checked(self) -> int:
        """How many trailers lack figures for some check."""
        return sum(trailer.not_checked != "" for trailer in self.trailers)

    @property
    def with_entries_to_look_at(self) -> int:
        """How many trailers have an entry that is refused or not likely."""
        return sum(trailer.entry_check != "" for trailer in self.trailers)

    @property
    def totals(self) -> dict[str, int]:
        """The counts below the table."""
        return {
            "trailers": len(self.trailers),
            "with_conflicts": self.with_conflicts,
            "not_fully_checked": self.not_fully_checked,
            "entries_to_look_at": self.with_entries_to_look_at,
        }

    def as_data(self) -> dict[str, object]:
        """The review as plain data, for machines."""
        return {
            "weight_unit": self.weight_unit,
            "trailers": [asdict(trailer) for trailer in self.trailers],
            "totals": self.totals,
        }


def review(lot: Lot) -> Review:
    """Review a lot that was read from a workbook; nothing stored there is trusted."""
    found = lot_results([row.values for row in lot.rows], lot.options, lot.units, lot.limits)
    weight = lot.units.heading
    trailers = []
    for row, result in zip(lot.rows, found, strict=True):
        values = row.values
        trailers.append(
            Reviewed(
                row=row.number,
                stock=_text(values.get(KEY)),
                trailer=" ".join(filter(None, (_text(values.get("Make")), _text(values.get("Model"))))),
                status=_text(values.get("Status")),
                payload=result[weight("Payload ({weight})")],
                safe_payload=result[weight("Safe payload ({weight})")],
                limited_by=result["Limited by"],
                pin_weight=result[weight("Pin weight ({weight})")],
                conflicts=_count(result["Conflicts"]),
                verdict=result["Conflicts"],
                what_conflicts=result["What conflicts"],
                not_checked=result["Not checked"],
                entry_check=result["Entry check"],
            )
        )
    return Review(lot.units.weight, tuple(trailers))


def _count(verdict: Value) -> int:
    """How many conflicts a verdict tells of."""
    mark, _, count = str(verdict).partition(" ")
    return int(count) if mark == CONFLICT else 0


def _text(value: object) -> str:
    """A cell as text; a whole number without decimals."""
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)
