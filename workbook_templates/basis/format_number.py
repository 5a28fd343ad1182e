"""The number of the lot workbook's format, which every lot carries as a property that people can see.

A lot without one is of format 1. ``tests/lots`` holds lots of every format that people may have.
"""

from __future__ import annotations

FORMAT = 3
"""One more whenever ``tarelot update`` has something to do for lots written before."""
PROPERTY = "Tarelot format"
