"""A person in front of a window, under LibreOffice's own Python: reads its boxes, types into them, presses buttons.

Everything goes through the accessibility of the program's own windows, as a screen reader works them. Nothing of the
program that is tested is asked, so that the boxes are those which it really opens.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

from com.sun.star.accessibility.AccessibleRole import (
    ALERT,
    DIALOG,
    FILE_CHOOSER,
    LABEL,
    LIST,
    OPTION_PANE,
    PUSH_BUTTON,
    TABLE,
    TREE,
    TREE_TABLE,
)
from com.sun.star.accessibility.AccessibleStateType import SHOWING
from com.sun.star.uno import RuntimeException

BOXES = (ALERT, DIALOG, FILE_CHOOSER, OPTION_PANE)
LISTS = (LIST, TABLE, TREE, TREE_TABLE)
PATIENCE = 120.0
"""Seconds until a box that does not come, or does not go, fails the test."""
PAUSE = 0.05


class Person:
    """Answers the boxes of one choice, one after the other."""

    def __init__(self, toolkit: Any) -> None:
        self._toolkit = toolkit
        self._at_work: list[threading.Thread] = []
        self._failed: list[BaseException] = []

    def chooses(self, work: Callable[[], None]) -> None:
        """Begin what opens boxes: it ends no earlier than the person has answered them."""

        def begun() -> None:
            try:
                work()
            except BaseException as error:  # noqa: BLE001 - it is raised again by `ends`
                self._failed.append(error)

        self._at_work.append(threading.Thread(target=begun, daemon=True))
        self._at_work[-1].start()

    def awaits(self, button: str) -> str:
        """Wait for a box with that button; what it says."""
        box = self._awaited(button)
        return "\n".join(filter(None, map(_words, _parts(box))))

    def presses(self, button: str, typed: dict[str, str]) -> None:
        """Type into the fields of the box with that button, by their names, then press it."""
        box = self._awaited(button)
        for name, text in typed.items():
            fields = (one for one in _parts(box) if hasattr(one, "setText") and one.getAccessibleName() == name)
            next(fields).setText(text)
        pressed = _button(box, button)
        self.chooses(lambda: pressed.doAccessibleAction(0))  # it goes on for as long as the next box is open

    def ends(self) -> None:
        """Wait until all that was begun has ended; raises what failed in it, or that a box is still open."""
        for thread in self._at_work:
            thread.join(PATIENCE)
        if self._failed:
            raise self._failed[0]
        if any(thread.is_alive() for thread in self._at_work):
            raise TimeoutError(f"a box is still open: {[_button_names(box) for box in self._boxes()]}")

    def _awaited(self, button: str) -> Any:
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if self._failed:
                raise self._failed[0]
            box = self._box_with(button)
            if box is not None:
                return box
            time.sleep(PAUSE)
        buttons = [_button_names(box) for box in self._boxes()]
        raise TimeoutError(f"no box with the button {button!r} opened; the buttons in sight are {buttons}")

    def _boxes(self) -> Iterator[Any]:
        """The boxes in sight."""
        for place in range(self._toolkit.getTopWindowCount()):
            window = self._toolkit.getTopWindow(place)
            found = window and window.getAccessibleContext()
            if found and found.getAccessibleRole() in BOXES and _is_shown(found):
                yield found

    def _box_with(self, button: str) -> Any:
        """The box with that button; None where there is none, or where windows opened or closed meanwhile."""
        try:
            return next((box for box in self._boxes() if _button(box, button) is not None), None)
        except RuntimeException:  # of a window that is gone
            return None


def _parts(box: Any) -> Iterator[Any]:
    """All of a box that is shown, the box first; of a list of files only that it is there, for it may be long."""
    yield box
    if box.getAccessibleRole() in LISTS:
        return
    for place in range(box.getAccessibleChildCount()):
        child = box.getAccessibleChild(place)
        if child is not None and _is_shown(child.getAccessibleContext()):
            yield from _parts(child.getAccessibleContext())


def _words(part: Any) -> str:
    """What a part of a box says, or what stands in its field."""
    if part.getAccessibleRole() == LABEL:
        return str(part.getAccessibleName())
    return str(part.getText()) if hasattr(part, "setText") else ""


def _is_shown(part: Any) -> bool:
    states = part.getAccessibleStateSet()
    return bool(states & SHOWING if isinstance(states, int) else states.contains(SHOWING))


def _button(box: Any, name: str) -> Any:
    return next(
        (one for one in _parts(box) if one.getAccessibleRole() == PUSH_BUTTON and one.getAccessibleName() == name), None
    )


def _button_names(box: Any) -> list[str]:
    return [one.getAccessibleName() for one in _parts(box) if one.getAccessibleRole() == PUSH_BUTTON]
