"""The number formats of an ODS file, as the codes that XLSX has for them (OpenDocument 1.3, part 3, 16.29 and 16.37).

Of a format that shows a number as a share, a fraction or a power of ten the number itself is what is meant.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

_STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"
_NUMBER = "{urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0}"
_CELL_STYLE = f"{_STYLE}style"
_FORMATS = (f"{_NUMBER}number-style", f"{_NUMBER}currency-style")
GENERAL = "General"
MOST_PARENTS = 100
"""Styles that each take after the next one; more are a circle."""
MOST_DIGITS = 20


class Formats:
    """The styles of a file, gathered as they pass by."""

    def __init__(self) -> None:
        self._codes: dict[str, str] = {}
        self._above_zero: dict[str, str] = {}  # the name of the format that numbers from 0 on have instead
        self._styles: dict[str, tuple[str, str]] = {}  # a cell style's number format, and the style it takes after

    def note(self, element: Element) -> None:
        """Remember an element that has ended, if it is a style of cells or of numbers."""
        if element.tag == _CELL_STYLE and element.get(f"{_STYLE}family") == "table-cell":
            form, parent = (element.get(f"{_STYLE}{which}-style-name", "") for which in ("data", "parent"))
            self._styles[element.get(f"{_STYLE}name", "")] = form, parent
        elif element.tag in _FORMATS:
            name = element.get(f"{_STYLE}name", "")
            self._codes[name] = _code(element)
            for mapped in element.findall(f"{_STYLE}map"):
                if mapped.get(f"{_STYLE}condition", "").replace(" ", "") in ("value()>=0", "value()>0"):
                    self._above_zero[name] = mapped.get(f"{_STYLE}apply-style-name", "")

    def code(self, style: str) -> str:
        """The number format of a cell style: of numbers from 0 on, and behind ``;`` of others if it is another one."""
        for _ in range(MOST_PARENTS):
            number_style, parent = self._styles.get(style, ("", ""))
            if number_style or not parent:
                break
            style = parent
        code = self._codes.get(number_style, GENERAL)
        other = self._codes.get(self._above_zero.get(number_style, ""))
        return code if other is None else f"{other};{code}"


def _code(element: Element) -> str:
    """One number format's code: its digits, and the text before and behind them."""
    code = ""
    for part in element:
        if part.tag in (f"{_NUMBER}text", f"{_NUMBER}currency-symbol"):
            code += "".join(f"\\{sign}" for sign in part.text or "")
        elif part.tag == f"{_NUMBER}number":
            least = min(int(part.get(f"{_NUMBER}min-integer-digits", "1")), MOST_DIGITS)
            factor = float(part.get(f"{_NUMBER}display-factor", "1"))
            code += "0" * least or "#"
            while factor >= 1000:
                code, factor = f"{code},", factor / 1000
        elif part.tag in (f"{_NUMBER}scientific-number", f"{_NUMBER}fraction"):
            return GENERAL
    return code
