"""Names under which LibreOffice knows our menu, and the texts that put it there."""

from __future__ import annotations

from xml.sax.saxutils import escape

IMPLEMENTATION = "org.tarelot.MenuImplementation"
SERVICE = "com.sun.star.frame.ProtocolHandler"
PROTOCOL = "vnd.tarelot.menu:"
IMPORT, UNDO_IMPORT, REVIEW, RECALCULATE, ADD_ROWS = "import", "undo-import", "review", "recalculate", "add"
USE_TICKETS = "use-tickets"
ENTRIES = {
    IMPORT: "~Import a list...",
    UNDO_IMPORT: "~Undo import",
    USE_TICKETS: "Use ~tickets",
    REVIEW: "~Review",
    RECALCULATE: "Re~calculate",
    ADD_ROWS: "~Add rows",
}

_OPENING = """<?xml version="1.0" encoding="UTF-8"?>
<oor:component-data oor:name="{name}" oor:package="org.openoffice.Office"
 xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
"""


class MenuError(Exception):
    """An entry of the menu cannot do its work; the text is one line for the person."""


def menu() -> str:
    """``Addons.xcu``: the menu Tarelot in the menu bar of Calc, and of no other program of the office.

    LibreOffice shows the entries by the length of their nodes' names, then by the names.
    """
    entries = "\n".join(
        f"""<node oor:name="m{place}" oor:op="replace">
{_property("URL", PROTOCOL + action)}
{_text("Title", title)}
{_property("Target", "_self")}
</node>"""
        for place, (action, title) in enumerate(ENTRIES.items(), 1)
    )
    return f"""{_OPENING.format(name="Addons")}<node oor:name="AddonUI"><node oor:name="OfficeMenuBar">
<node oor:name="org.tarelot.menu" oor:op="replace">
{_property("Context", "com.sun.star.sheet.SpreadsheetDocument")}
{_text("Title", "Tarelot")}
<node oor:name="Submenu">
{entries}
</node></node></node></node>
</oor:component-data>
"""


def handler() -> str:
    """``ProtocolHandler.xcu``: which component answers the URLs of the menu."""
    return f"""{_OPENING.format(name="ProtocolHandler")}<node oor:name="HandlerSet">
<node oor:name="{IMPLEMENTATION}" oor:op="replace">
<prop oor:name="Protocols" oor:type="oor:string-list"><value>{PROTOCOL}*</value></prop>
</node></node>
</oor:component-data>
"""


def _property(name: str, value: str) -> str:
    return f'<prop oor:name="{name}" oor:type="xs:string"><value>{escape(value)}</value></prop>'


def _text(name: str, value: str) -> str:
    return f'<prop oor:name="{name}" oor:type="xs:string"><value xml:lang="en-US">{escape(value)}</value></prop>'
