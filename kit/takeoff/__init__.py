"""How much there is: areas and lengths, each with the trail of how it came to be."""

from kit.takeoff.figures import RoomTakeoff, Takeoff
from kit.takeoff.slabwork import SlabWork
from kit.takeoff.stepped import Stepped
from kit.takeoff.taking import RULE, RULES, surveyed, take_off
from kit.takeoff.trail import Figure, Unit, every, spoken, summed, told, trail_lines

__all__ = [
    "RULE",
    "RULES",
    "Figure",
    "RoomTakeoff",
    "SlabWork",
    "Stepped",
    "Takeoff",
    "Unit",
    "every",
    "spoken",
    "summed",
    "surveyed",
    "take_off",
    "told",
    "trail_lines",
]
