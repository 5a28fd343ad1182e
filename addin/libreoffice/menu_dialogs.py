"""What the menu asks and says: plain boxes of LibreOffice's own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.awt.MessageBoxButtons import (  # type: ignore[import-not-found]
    BUTTONS_OK,
    BUTTONS_YES_NO,
    BUTTONS_YES_NO_CANCEL,
)
from com.sun.star.awt.MessageBoxType import ERRORBOX, INFOBOX, QUERYBOX  # type: ignore[import-not-found]

TITLE = "Tarelot"
YES, NO = 2, 3
"""com.sun.star.awt.MessageBoxResults"""
SHOWN = 15
"""Trailers that a box names; more would not fit on a screen."""
LISTS = "*.csv;*.tsv;*.txt;*.xlsx;*.xlsm;*.ods"


class Dialogs:
    """Asks and tells the person in front of a window."""

    def __init__(self, context: Any, frame: Any) -> None:
        self._context, self._frame = context, frame

    def tell(self, text: str) -> None:
        """Say what was done."""
        self._box(INFOBOX, BUTTONS_OK, text)

    def warn(self, text: str) -> None:
        """Say why something was not done."""
        self._box(ERRORBOX, BUTTONS_OK, text)

    def agreed(self, question: str) -> bool:
        """Whether the person says yes."""
        return self._box(QUERYBOX, BUTTONS_YES_NO, question) == YES

    def from_sheet(self, sheet: str) -> bool | None:
        """Whether the list is the one pasted into the workbook's own sheet; None where the person stops."""
        question = f"Import what is pasted into the sheet {sheet}?\n\nNo: choose a file."
        return {YES: True, NO: False}.get(self._box(QUERYBOX, BUTTONS_YES_NO_CANCEL, question))

    def list_file(self) -> Path | None:
        """The list that the person chooses; None where the person stops."""
        picker = self._create("com.sun.star.ui.dialogs.FilePicker")
        picker.setTitle("List to import")
        picker.appendFilter("Lists", LISTS)
        chosen = picker.getSelectedFiles() if picker.execute() == 1 else ()
        return Path(unohelper.fileUrlToSystemPath(chosen[0])) if chosen else None

    def _create(self, service: str) -> Any:
        return self._context.ServiceManager.createInstanceWithContext(service, self._context)

    def _box(self, kind: Any, buttons: int, text: str) -> int:
        toolkit = self._create("com.sun.star.awt.Toolkit")
        return int(toolkit.createMessageBox(self._frame.getContainerWindow(), kind, buttons, TITLE, text).execute())


def plan_in_words(data: Any) -> str:
    """What importing a list would do: trailer by trailer, then what is left out, then totals."""
    rows = [row for row in data["rows"] if row["status"] != "same"]
    # What is refused needs the person most: those rows come first.
    rows.sort(key=lambda row: ("refused", "changed", "new").index(row["status"]))
    lines = [_row(row, data["key"]) for row in rows[:SHOWN]]
    if len(rows) > SHOWN:
        lines.append(f"... and {len(rows) - SHOWN:,} more")
    lines += [f"Column not imported: {heading} ({why})" for heading, why in data["ignored"].items()]
    lines += [f"Note: {note}" for note in data["notes"]]
    return "\n".join([*lines, "", f"{data['list']}: {totals_in_words(data)}."])


def totals_in_words(data: Any) -> str:
    """How many rows of the list are new, changed, same and refused.

    >>> totals_in_words({"totals": {"new": 4, "changed": 0, "same": 0, "refused": 1}})
    '4 new, 0 changed, 0 same, 1 refused'
    """
    return ", ".join(f"{count:,} {status}" for status, count in data["totals"].items())


def _row(row: Any, key: str) -> str:
    """One trailer in words; long ones are cut, for a box does not scroll."""
    changes = [
        f"{change['heading']} {_shown(change['new'])}"
        if change["old"] is None
        else f"{change['heading']} {_shown(change['old'])} \u2192 {_shown(change['new'])}"
        for change in row["changes"]
        if change["heading"] != key
    ]
    words = row["reason"] or "; ".join(changes)
    return f"{row['status']}  {row['key']}: {words if len(words) <= 120 else words[:117] + '...'}"


def _shown(value: Any) -> str:
    if value is None:
        return "blank"
    if isinstance(value, dict):
        return str(value["date"])
    return f"{value:.10g}" if isinstance(value, float) else str(value)
