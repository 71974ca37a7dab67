"""How much there is: areas and lengths, each with the trail of how it came to be."""

from kit.takeoff.figures import Figure, RoomTakeoff, Takeoff, spoken
from kit.takeoff.taking import RULE, take_off

__all__ = ["RULE", "Figure", "RoomTakeoff", "Takeoff", "spoken", "take_off"]
