"""FUNCTIONS: every worksheet function, one row each. Plain formulas, names and both add-ins are rendered from it.

To add one: its calculation in the topic's module, its words in the glossary, a row in the topic's table here, its
golden rows in tests. A row's ``formula`` holds the same calculation over the parameter names, without the guards: those
come from the parameters. It may use only what every spreadsheet program since 2010 has; ``STATED(name)`` asks for an
optional value.
"""

from __future__ import annotations

from ..spec import Function
from .driving_on import DRIVING_ON
from .findings import FINDINGS
from .labels import LABELS
from .on_the_road import ON_THE_ROAD
from .placing import PLACING
from .ramps import RAMPS
from .tickets import TICKETS
from .towing import TOWING
from .tying_down import TYING_DOWN
from .weights import WEIGHTS

FUNCTIONS: tuple[Function, ...] = (
    *WEIGHTS,
    *RAMPS,
    *LABELS,
    *FINDINGS,
    *PLACING,
    *DRIVING_ON,
    *TYING_DOWN,
    *TOWING,
    *ON_THE_ROAD,
    *TICKETS,
)

BY_NAME: dict[str, Function] = {function.name: function for function in FUNCTIONS}
