"""Names under which LibreOffice knows the worksheet functions, and the numbers by which it knows errors.

An .ods file stores the service's name and the function's programmatic name in every cell that calls one, and every
installed extension shares one space of names: none of these is ever renamed.
"""

from __future__ import annotations

EXTENSION = "org.tarelot"
MODULE = "org.tarelot"
INTERFACE = "XFunctions"
SERVICE = "org.tarelot.Functions"
IMPLEMENTATION = "org.tarelot.FunctionsImplementation"

CODES = {
    "#NUM!": 503,
    "#VALUE!": 519,
    "#NULL!": 521,
    "#REF!": 524,
    "#NAME?": 525,
    "#DIV/0!": 532,
    "#N/A": 32767,
}
"""com.sun.star.sheet.XCell.getError of each error value."""


class Named:
    """What a component answers about itself (com.sun.star.lang.XServiceInfo)."""

    IMPLEMENTATION: str
    SERVICE: str

    def getImplementationName(self) -> str:  # noqa: N802
        """The name in the .components file."""
        return self.IMPLEMENTATION

    def supportsService(self, name: str) -> bool:  # noqa: N802
        """Whether this is the service asked for."""
        return name == self.SERVICE

    def getSupportedServiceNames(self) -> tuple[str, ...]:  # noqa: N802
        """The one service."""
        return (self.SERVICE,)


def method_name(function: str) -> str:
    """The programmatic name of a worksheet function: the interface's method.

    >>> method_name("LOT_PIN_SHARE")
    'lotPinShare'
    """
    return camel_case(function.lower())


def camel_case(name: str) -> str:
    """Words joined with capitals, since the interface language refuses underscores in names in lower case.

    >>> camel_case("tires_per_axle")
    'tiresPerAxle'
    """
    first, *others = name.split("_")
    return first + "".join(word.capitalize() for word in others)
