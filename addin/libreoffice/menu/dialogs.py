"""What the menu asks and says: plain boxes of LibreOffice's own, and one that leaves the window to be looked at."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.awt import XActionListener, XTopWindowListener  # type: ignore[import-not-found]
from com.sun.star.awt.MessageBoxButtons import (  # type: ignore[import-not-found]
    BUTTONS_OK,
    BUTTONS_YES_NO,
    BUTTONS_YES_NO_CANCEL,
)
from com.sun.star.awt.MessageBoxType import ERRORBOX, INFOBOX, QUERYBOX  # type: ignore[import-not-found]
from com.sun.star.awt.PosSize import POS  # type: ignore[import-not-found]
from com.sun.star.util import XCloseListener  # type: ignore[import-not-found]

from tarelot.workbook_templates.lists.quantities import Decimal
from tarelot.workbook_templates.updates.words import DECIMAL_QUESTION, IF_POINT, SAME_QUESTION, without_options

TITLE = "Tarelot"
YES, NO = 2, 3
"""com.sun.star.awt.MessageBoxResults"""
FROM_EDGE = 90
"""Pixels between the question beside a document and the lower right corner of its window, off the headings."""
IF_STOPPED = "Cancel: do not import."
LISTS = "*.csv;*.tsv;*.txt;*.xlsx;*.xlsm;*.ods"
MOST_LINES = 12
"""Of what a box says; a longer one would put its buttons off the screen."""


def fitting(text: str) -> str:
    r"""A text with no more lines than a box has room for.

    >>> fitting("a\nb"), fitting("\n".join("abcdefghijklmn")).splitlines()[-2:]
    ('a\nb', ['k', '... and 3 more lines.'])
    """
    lines = text.splitlines()
    if len(lines) <= MOST_LINES:
        return text
    kept = lines[: MOST_LINES - 1]
    return "\n".join([*kept, f"... and {len(lines) - len(kept)} more lines."])


class Progress:
    """A bar in a window's status line; a class, as ``Undisturbed`` says."""

    def __init__(self, frame: Any, text: str, steps: int) -> None:
        self._bar, self._text, self._steps = frame.createStatusIndicator(), text, steps

    def __enter__(self) -> Callable[[int], None]:
        self._bar.start(self._text, self._steps)
        return lambda step: self._bar.setValue(step)

    def __exit__(self, *_error: object) -> None:
        self._bar.end()


class Dialogs:
    """Asks and tells the person in front of a window."""

    def __init__(self, context: Any, frame: Any) -> None:
        self._context, self._frame = context, frame

    def tell(self, text: str) -> None:
        """Say what was done."""
        self._box(INFOBOX, BUTTONS_OK, fitting(text))

    def warn(self, text: str) -> None:
        """Say why something was not done."""
        self._box(ERRORBOX, BUTTONS_OK, fitting(text))

    def agreed(self, question: str) -> bool:
        """Whether the person says yes."""
        return self._box(QUERYBOX, BUTTONS_YES_NO, question) == YES

    def from_sheet(self, sheet: str) -> bool | None:
        """Whether the list is the one pasted into the workbook's own sheet; None where the person stops."""
        return self._one_of_two(f"Import what is pasted into the sheet {sheet}?\n\nNo: choose a file.")

    def list_file(self, folder: Path | None) -> Path | None:
        """The list that the person chooses; None where the person stops.

        Args:
            folder: Where the workbook is, and most likely the list.
        """
        picker = self._create("com.sun.star.ui.dialogs.FilePicker")
        picker.setTitle("List to import")
        picker.appendFilter("Lists", LISTS)
        if folder:
            picker.setDisplayDirectory(unohelper.systemPathToFileUrl(str(folder)))
        chosen = picker.getSelectedFiles() if picker.execute() == 1 else ()
        return Path(unohelper.fileUrlToSystemPath(chosen[0])) if chosen else None

    def sheet_of(self, said: str, sheets: Sequence[str]) -> str | None:
        """The sheet that the person chooses, asked one after the other; None where the person stops."""
        for sheet in sheets:
            answer = self._one_of_two(f"{without_options(said)}\n\nImport the sheet {sheet}?\n\nNo: the next one.")
            if answer is None:
                return None
            if answer:
                return sheet
        return None

    def decimal(self, example: str) -> Decimal | None:
        """The list's decimal mark; None where the person stops."""
        answer = self._one_of_two(f"{without_options(example)}\n\n{DECIMAL_QUESTION}\n\n{IF_POINT} {IF_STOPPED}")
        return None if answer is None else "," if answer else "."

    def same_trailer(self, example: str) -> bool:
        """Whether names that are nearly the same are one trailer."""
        return self.agreed(f"{without_options(example)}\n\n{SAME_QUESTION}")

    def progress(self, text: str, steps: int) -> Progress:
        """A bar in the window's status line, for as long as something takes."""
        return Progress(self._frame, text, steps)

    def ask_beside(self, document: Any, question: str, yes: str, answered: Callable[[bool], None]) -> None:
        """Ask beside a document that the person may look at meanwhile; closing either is a no.

        Args:
            document: The document, in a window of its own; it is closed with the answer.
            question: What is asked.
            yes: What the button says that agrees.
            answered: Told whether the person agrees.
        """
        window = document.getCurrentController().getFrame().getContainerWindow()
        dialog = self._question(window, question, yes)
        answer = _Answer(document, dialog, answered)
        for name in (_Answer.YES, _Answer.NO):
            button = dialog.getControl(name)
            button.setActionCommand(name)
            button.addActionListener(answer)
        dialog.addTopWindowListener(answer)
        around, size = window.getPosSize(), dialog.getPosSize()
        left, top = around.Width - size.Width - FROM_EDGE, around.Height - size.Height - FROM_EDGE
        dialog.setPosSize(max(left, 0), max(top, 0), 0, 0, POS)
        document.addCloseListener(answer)
        dialog.setVisible(True)

    def _question(self, window: Any, question: str, yes: str) -> Any:
        """A box of our own that does not keep the person from the window."""
        model = self._create("com.sun.star.awt.UnoControlDialogModel")
        model.Title, model.Width, model.Height = TITLE, 240, 70
        label = model.createInstance("com.sun.star.awt.UnoControlFixedTextModel")
        label.Label, label.MultiLine = question, True
        label.PositionX, label.PositionY, label.Width, label.Height = 6, 6, 228, 40
        model.insertByName("question", label)
        for name, text, left in ((_Answer.YES, yes, 6), (_Answer.NO, "No", 123)):
            button = model.createInstance("com.sun.star.awt.UnoControlButtonModel")
            button.Label, button.DefaultButton = text, name == _Answer.YES
            button.PositionX, button.PositionY, button.Width, button.Height = left, 50, 111, 15
            model.insertByName(name, button)
        dialog = self._create("com.sun.star.awt.UnoControlDialog")
        dialog.setModel(model)
        dialog.setVisible(False)
        dialog.createPeer(self._create("com.sun.star.awt.Toolkit"), window)
        return dialog

    def _one_of_two(self, question: str) -> bool | None:
        return {YES: True, NO: False}.get(self._box(QUERYBOX, BUTTONS_YES_NO_CANCEL, question))

    def _create(self, service: str) -> Any:
        return self._context.ServiceManager.createInstanceWithContext(service, self._context)

    def _box(self, kind: Any, buttons: int, text: str) -> int:
        toolkit = self._create("com.sun.star.awt.Toolkit")
        return int(toolkit.createMessageBox(self._frame.getContainerWindow(), kind, buttons, TITLE, text).execute())


class _Answer(unohelper.Base, XActionListener, XTopWindowListener, XCloseListener):  # type: ignore[misc]
    """The answer to a question beside a document, given once: by a button, or by closing the box or the document."""

    YES, NO = "yes", "no"

    def __init__(self, document: Any, dialog: Any, answered: Callable[[bool], None]) -> None:
        self._document, self._dialog, self._answered = document, dialog, answered
        self._is_given = False

    def _give(self, is_yes: bool, *, close: bool = True) -> None:
        if self._is_given:
            return
        self._is_given = True
        self._dialog.setVisible(False)
        self._dialog.dispose()
        if close:
            self._document.removeCloseListener(self)
            self._document.close(True)
        self._answered(is_yes)

    def actionPerformed(self, event: Any) -> None:  # noqa: N802
        """A button was pressed."""
        self._give(event.ActionCommand == self.YES)

    def windowClosing(self, _event: Any) -> None:  # noqa: N802
        """The box is closed."""
        self._give(is_yes=False)

    def queryClosing(self, _event: Any, _ownership: bool) -> None:  # noqa: N802
        """The document may be closed."""

    def notifyClosing(self, _event: Any) -> None:  # noqa: N802
        """The document is closed."""
        self._give(is_yes=False, close=False)

    def disposing(self, _event: Any) -> None:
        """Nothing is kept."""

    def windowOpened(self, _event: Any) -> None:  # noqa: N802
        """Nothing to do."""

    windowClosed = windowMinimized = windowNormalized = windowActivated = windowDeactivated = windowOpened  # noqa: N815
