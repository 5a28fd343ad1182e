"""What the Options sheet holds: each option's weight, who fits it, its price and place, in one table named Options."""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Range
from tarelot.calc.cells.spreadsheet import AND, COUNT, FIND, ISERROR, SUMPRODUCT, TRIM
from tarelot.calc.rules.lot import YARD

SHEET = TABLE = "Options"
NAME, WEIGHT, FITTED, PRICE = "Option", "Weight ({weight})", "Fitted by", "Price"
PLACE = "Center behind coupler ({long})"
FITTERS = ("maker", YARD)
COLUMNS = ((NAME, 34), (WEIGHT, 14), (FITTED, 12), (PRICE, 12), (PLACE, 24))
"""Headings and widths."""
HEADING_ROW, FIRST_ROW = 4, 5
REACH = 2_000
BLANK_ROWS = 30
_NAME = Cell("name")
NAME_FITS = AND(
    SUMPRODUCT(Range("names").equals(_NAME) * 1).equals(1), ISERROR(FIND(";", _NAME)), TRIM(_NAME).equals(_NAME)
)
"""What a name is: there once, without ; and without outer spaces."""
_WEIGHT = Cell("weight")
WEIGHT_FITS = AND(COUNT(_WEIGHT).equals(1), _WEIGHT >= 0, _WEIGHT.differs(1))
"""What a weight is."""
_PRICE = Cell("price")
PRICE_FITS = AND(COUNT(_PRICE).equals(1), _PRICE >= 0, _PRICE.differs(1))
"""What a price is; 0 is one, a blank is none."""
_PLACE = Cell("place")
PLACE_FITS = AND(COUNT(_PLACE).equals(1), _PLACE.differs(1))
"""What a place is: ahead of the coupler it is below 0."""
