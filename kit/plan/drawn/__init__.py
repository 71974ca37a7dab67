"""Room outlines to and from drawings: DXF, and plain coordinates as JSON."""

from kit.plan.drawn.coordinates import coordinates_of, read_coordinates
from kit.plan.drawn.reading import UNITS_M, Drawn, read_dxf
from kit.plan.drawn.sheets import rooms_of, sheet_text
from kit.plan.drawn.writing import dxf_of

__all__ = [
    "UNITS_M",
    "Drawn",
    "coordinates_of",
    "dxf_of",
    "read_coordinates",
    "read_dxf",
    "rooms_of",
    "sheet_text",
]
