"""TICKETS: the worksheet functions of scale tickets, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import tickets
from ..spec import Function
from .sources import ARITHMETIC, MOMENTS

TICKETS: tuple[Function, ...] = (
    Function(
        "LOT_TICKET_PIN",
        tickets.ticket_pin,
        (g.TRUCK_ALONE.optional, g.TRUCK_HITCHED.optional, g.TRAILER_HITCHED.optional, g.TRAILER_ALONE.optional),
        "Weight on the hitch, in the unit given; negative where it lifts, or where two tickets are swapped",
        "Weight on the hitch from both tickets of the trailer, else of the truck; weigh with the bars of a "
        "weight-distributing hitch slack, since they move load to the trailer's axles and hide part of it.",
        "trailer alone - trailer hitched, else truck hitched - truck alone; "
        "bars leave true pin - chain pull × ball to chains / ball to axles",
        MOMENTS,
        "IF(AND(STATED(trailer_alone),STATED(trailer_hitched)),trailer_alone-trailer_hitched,"
        'IF(AND(STATED(truck_alone),STATED(truck_hitched)),truck_hitched-truck_alone,""))',
    ),
    Function(
        "LOT_TICKET_TRAILER",
        tickets.ticket_trailer,
        (g.TRUCK_ALONE, g.TRUCK_HITCHED, g.TRAILER_HITCHED),
        "Weight of the trailer with its load, in the unit given",
        "Weight of the trailer from three scale tickets, right with a weight-distributing hitch too.",
        "truck hitched + trailer hitched - truck alone",
        ARITHMETIC,
        "IF(truck_hitched+trailer_hitched<=truck_alone,#NUM!,truck_hitched+trailer_hitched-truck_alone)",
    ),
    Function(
        "LOT_CENTER_FROM_AXLES",
        tickets.center_from_axles,
        (g.FRONT_WEIGHT, g.REAR_WEIGHT, g.WHEELBASE),
        "Distance behind the front axle, in the unit of the wheelbase",
        "From a machine's front axle back to its center of gravity, from the weight on each axle.",
        "rear weight × wheelbase / (front weight + rear weight)",
        MOMENTS + ", as in FAA-H-8083-1 chapter 10",
        "rear_weight*wheelbase/(front_weight+rear_weight)",
    ),
)
