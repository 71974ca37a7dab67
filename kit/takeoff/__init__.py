"""How much there is: areas and lengths, each with the trail of how it came to be."""

from kit.takeoff.figures import RoomTakeoff, Takeoff
from kit.takeoff.taking import RULE, take_off
from kit.takeoff.trail import Figure, Unit, spoken, summed, told, trail_lines

__all__ = [
    "RULE",
    "Figure",
    "RoomTakeoff",
    "Takeoff",
    "Unit",
    "spoken",
    "summed",
    "take_off",
    "told",
    "trail_lines",
]
