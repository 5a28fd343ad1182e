"""LABELS: the worksheet functions of what labels, sidewalls and the tax law say, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import law, tires, vin
from ..spec import Function
from ..tables import LOAD_INDEX_KG

LABELS: tuple[Function, ...] = (
    Function(
        "LOT_TIRE_LOAD",
        tires.tire_load,
        (g.LOAD_INDEX, g.UNIT),
        "Load of one tire, in pounds or the unit given",
        "Load that one tire may carry by the load index on its sidewall.",
        "load-index table; pounds = kilograms / 0.45359237",
        "ISO 4000-1 load-index table",
        f"INDEX({{{','.join(f'{kilograms:g}' for kilograms in LOAD_INDEX_KG)}}},1,load_index+1)"
        '/IF(LOWER(TRIM(unit))="kg",1,0.45359237)',
    ),
    Function(
        "LOT_VIN_CHECK",
        vin.vin_check,
        (g.VIN,),
        "ok, or what is wrong",
        "Whether a trailer's VIN has the right length, characters, check digit and four digits at its end.",
        "sum of value × weight, remainder by 11; last four are digits",
        "49 CFR 565.15(c), Tables III to V; 565.15(d)",
        vin.VIN_CHECK_FORMULA,
    ),
    Function(
        "LOT_VIN_YEAR",
        vin.vin_year,
        (g.VIN, g.LATEST_YEAR),
        "Model year",
        "Model year by position 10 of a VIN: the latest of its 30-year cycle not after a year.",
        "letter of position 10, 30-year cycle",
        "49 CFR 565.15(d)(1), Table VII",
        vin.VIN_YEAR_FORMULA,
    ),
    Function(
        "LOT_EXCISE_RATE",
        law.excise_rate,
        (g.GVWR, g.UNIT),
        "Share of the price",
        "Federal excise tax on the first retail sale: 12% above 26,000 lb GVWR, else none. Ask a tax adviser.",
        "12% above 26,000 lb GVWR",
        "26 USC 4051",
        'IF(gvwr>ROUND(26000*IF(LOWER(TRIM(unit))="kg",0.45359237,1),6),0.12,0)',
    ),
)
