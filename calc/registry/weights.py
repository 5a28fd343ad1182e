"""WEIGHTS: the worksheet functions of weighing, rating and the hitch end, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import hitch, ratings, wood
from ..spec import Function
from .sources import ARITHMETIC, COMMON

_AXLE_GROUP = (
    g.AXLES,
    g.AXLE_RATING,
    g.SUSPENSION_RATING.optional,
    g.TIRES_PER_AXLE.optional,
    g.TIRE_RATING.optional,
    g.WHEEL_RATING.optional,
)
_LIMITS = (
    g.GVWR,
    g.AXLE_GROUP_RATING.optional,
    g.COUPLER_RATING.optional,
    g.COUPLER_VERTICAL.optional,
    g.LOW_PIN_SHARE.optional,
    g.HIGH_PIN_SHARE.optional,
)
_EQUAL = "(1+1E-9)"  # spec.ROUNDING
_SUSPENSION = "IF(STATED(suspension_rating),suspension_rating,9E+99)"
_TIRES = "IF(AND(STATED(tires_per_axle),STATED(tire_rating)),tires_per_axle*tire_rating,9E+99)"
_WHEELS = "IF(AND(STATED(tires_per_axle),STATED(wheel_rating)),tires_per_axle*wheel_rating,9E+99)"
_BY_AXLES = "IF(STATED(axle_group_rating),axle_group_rating/(1-IF(STATED(low_pin_share),low_pin_share,0.1)),9E+99)"
_BY_COUPLER = "IF(STATED(coupler_rating),coupler_rating,9E+99)"
_BY_VERTICAL = "IF(STATED(coupler_vertical),coupler_vertical/IF(STATED(high_pin_share),high_pin_share,0.15),9E+99)"

# A name, letter or size is compared in lower case without outer spaces. A piece of the options' text is cut out by
# widening each ; to 500 spaces. Every number compares below every text, so that ``weights<""`` finds the numbers.
_PIECES = "+".join(
    f'IF({piece}="",0,IF(SUMPRODUCT((names={piece})*(weights<"")*(weights>=0))=1,'
    f"SUMPRODUCT((names={piece})*(weights>=0),weights),#N/A))"
    for piece in (
        f'TRIM(MID(SUBSTITUTE(options,";",REPT(" ",500)),{500 * place + 1},500))'
        for place in range(ratings.MOST_OPTIONS)
    )
)

WEIGHTS: tuple[Function, ...] = (
    Function(
        "LOT_EMPTY_WEIGHT",
        ratings.empty_weight,
        (g.BASE_WEIGHT.optional, g.OPTIONS_WEIGHT.optional, g.SCALE_WEIGHT.optional),
        "Empty weight, in the unit given",
        "Weight of the trailer ready to work: the scale's where there is one, else the listed weight and options.",
        "scale weight if stated, else base + options",
        COMMON,
        "IF(STATED(scale_weight),scale_weight,IF(STATED(base_weight),"
        'IF(base_weight+N(options_weight)>0,base_weight+N(options_weight),#NUM!),""))',
    ),
    Function(
        "LOT_OPTIONS_WEIGHT",
        ratings.options_weight,
        (g.OPTIONS, g.OPTION_NAMES, g.OPTION_WEIGHTS),
        "Weight of the options, in the list's unit",
        "Weight of the options fitted, each looked up by name in a list of options; at most 12 options.",
        "sum of the listed options' weights",
        COMMON,
        'IF(STATED(options),IF(OR(LEN(options)>500,LEN(options)-LEN(SUBSTITUTE(options,";",""))>11),#NUM!,'
        f"IF(ROWS(names)*COLUMNS(names)<>ROWS(weights)*COLUMNS(weights),#VALUE!,{_PIECES})),0)",
    ),
    Function(
        "LOT_PAYLOAD",
        ratings.payload,
        (g.GROSS, g.EMPTY_WEIGHT),
        "Payload, in the unit given",
        "Weight of load that makes up the gross weight or rating.",
        "gross - empty",
        "49 CFR 567.4(g)(3)",
        "IF(empty_weight>gross,#NUM!,gross-empty_weight)",
    ),
    Function(
        "LOT_PIN_WEIGHT",
        hitch.pin_weight,
        (g.GROSS, g.PIN_SHARE),
        "Weight on the hitch, in the unit given",
        "Weight that rests on the hitch at a share of the gross weight.",
        "gross × pin share",
        ARITHMETIC,
        "gross*pin_share",
    ),
    Function(
        "LOT_PIN_SHARE",
        hitch.pin_share,
        (g.PIN_WEIGHT, g.GROSS),
        "Share, such as 0.15",
        "Share of the gross weight that rests on the hitch.",
        "pin weight / gross",
        ARITHMETIC,
        "pin_weight/gross",
    ),
    Function(
        "LOT_STICKER_PIN",
        hitch.sticker_pin,
        (g.GVWR, g.AXLES, g.AXLE_RATING),
        "Weight, in the unit given",
        "What the label counts on the hitch to carry: the part of the GVWR above the sum of the axle ratings.",
        "GVWR - axles × axle rating, at least 0",
        "49 CFR 571.3, GVWR and GAWR of trailers",
        "MAX(0,gvwr-axles*axle_rating)",
    ),
    Function(
        "LOT_LOW_PIN_SHARE",
        hitch.low_pin_share,
        (g.HITCH.optional, g.STATED_SHARE),
        "Share, such as 0.10",
        "Least share of the gross to plan for on the hitch: the stated one, else the usual one of the hitch.",
        "stated, else pintle or ball 10%, gooseneck 15%",
        COMMON + "; printed ranges differ",
        'IF(STATED(stated_share),stated_share,IF(STATED(hitch),IF(LOWER(TRIM(hitch))="gooseneck",0.15,0.1),""))',
    ),
    Function(
        "LOT_HIGH_PIN_SHARE",
        hitch.high_pin_share,
        (g.HITCH.optional, g.STATED_SHARE),
        "Share, such as 0.15",
        "Greatest share of the gross to plan for on the hitch: the stated one, else the usual one of the hitch.",
        "stated, else pintle or ball 15%, gooseneck 25%",
        COMMON + "; printed ranges differ",
        'IF(STATED(stated_share),stated_share,IF(STATED(hitch),IF(LOWER(TRIM(hitch))="gooseneck",0.25,0.15),""))',
    ),
    Function(
        "LOT_AXLE_LOAD",
        hitch.axle_load,
        (g.GROSS, g.PIN_SHARE),
        "Weight on the axles, in the unit given",
        "Weight that rests on the axles when the hitch carries a share of the gross weight.",
        "gross × (1 - pin share)",
        ARITHMETIC,
        "gross*(1-pin_share)",
    ),
    Function(
        "LOT_AXLE_GROUP_RATING",
        ratings.axle_group_rating,
        _AXLE_GROUP,
        "Rating of all axles, in the unit given",
        "Rating of the axle group: axles times the least of axle, suspension, tires and wheels, over those stated.",
        "axles × least of axle, suspension, tires × tire, tires × wheel",
        "49 CFR 571.3, GAWR; 571.120 S5.1.2",
        f"axles*MIN(axle_rating,{_SUSPENSION},{_TIRES},{_WHEELS})",
    ),
    Function(
        "LOT_WEAKEST_PART",
        ratings.weakest_part,
        _AXLE_GROUP,
        "axles, suspension, tires or wheels",
        "Which part sets the axle group's rating; the first of axles, suspension, tires, wheels where equal.",
        "the part with the least rating",
        "49 CFR 571.3, GAWR; 571.120 S5.1.2",
        f'IF(axle_rating<=MIN({_SUSPENSION},{_TIRES},{_WHEELS})*{_EQUAL},"axles",'
        f'IF({_SUSPENSION}<=MIN({_TIRES},{_WHEELS})*{_EQUAL},"suspension",IF({_TIRES}<={_WHEELS}*{_EQUAL},"tires","wheels")))',
    ),
    Function(
        "LOT_GROSS_LIMIT",
        ratings.gross_limit,
        _LIMITS,
        "Gross weight, in the unit given",
        "Heaviest gross weight that every stated rating allows; a share not stated counts as 0.10 low, 0.15 high.",
        "least of GVWR, axle group / (1 - low share), coupler, coupler vertical / high share",
        "49 CFR 571.3 for GVWR and GAWR; shares " + COMMON,
        f"MIN(gvwr,{_BY_AXLES},{_BY_COUPLER},{_BY_VERTICAL})",
    ),
    Function(
        "LOT_LIMITED_BY",
        ratings.limited_by,
        _LIMITS,
        "GVWR, axle group, coupler or coupler vertical",
        "Which rating sets the gross limit; the first of GVWR, axle group, coupler, coupler vertical where equal.",
        "the rating with the least gross",
        "49 CFR 571.3 for GVWR and GAWR; shares " + COMMON,
        f'IF(gvwr<=MIN({_BY_AXLES},{_BY_COUPLER},{_BY_VERTICAL})*{_EQUAL},"GVWR",'
        f'IF({_BY_AXLES}<=MIN({_BY_COUPLER},{_BY_VERTICAL})*{_EQUAL},"axle group",'
        f'IF({_BY_COUPLER}<={_BY_VERTICAL}*{_EQUAL},"coupler","coupler vertical")))',
    ),
    Function(
        "LOT_TOTAL",
        ratings.total,
        (g.COUNT, g.EACH),
        "Rating of all together, in the unit given",
        "What a number of equal parts is rated for together.",
        "count × each",
        ARITHMETIC,
        "count*each",
    ),
    Function(
        "LOT_SHORTFALL",
        ratings.shortfall,
        (g.NEEDED, g.RATED),
        "Shortfall, in the unit given; 0 where the rating suffices",
        "How much a rating falls short of what is needed.",
        "needed - rated, at least 0",
        ARITHMETIC,
        f"IF(needed>rated*{_EQUAL},needed-rated,0)",
    ),
    Function(
        "LOT_DECK_WEIGHT",
        wood.deck_weight,
        (g.DECK_LENGTH, g.DECK_WIDTH, g.BOARD_THICKNESS, g.SPECIFIC_GRAVITY, g.MOISTURE, g.UNIT),
        "Weight of the boards, in pounds or the unit given",
        "Weight of a wooden deck: length in feet, width and thickness in inches; for kg meters and millimeters.",
        "volume × 62.43 lb/ft3 (1,000 kg/m3) × specific gravity × (1 + moisture)",
        "USDA Wood Handbook FPL-GTR-190, chapter 4",
        f"deck_length*deck_width*board_thickness*specific_gravity*(1+IF(STATED(moisture),moisture,{wood.AIR_DRY:g}))"
        f'*IF(LOWER(TRIM(unit))="kg",{wood.WATER_KG_PER_CUBIC_METER:g}/{wood.SQUARE_MILLIMETERS_PER_SQUARE_METER:.0f},'
        f"{wood.WATER_LB_PER_CUBIC_FOOT:g}/{wood.SQUARE_INCHES_PER_SQUARE_FOOT:g})",
    ),
)
