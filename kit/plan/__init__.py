"""What gets poured: the rooms of a site joined through their doorways."""

from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.layout import UnfinishedError, lay_out

__all__ = ["FloorPlan", "PlannedRoom", "Threshold", "UnfinishedError", "WayOut", "lay_out"]
