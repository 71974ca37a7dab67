"""Drawings for the tests, written line by line so that no writer vouches for a reader."""

from __future__ import annotations

from collections.abc import Sequence

Vertex = tuple[float, float, float]


def dxf(*entities: str, unit: int | None = 6, end: str = "0\nEOF\n") -> bytes:
    """The smallest DXF that holds these entities; `unit` is its $INSUNITS."""
    header = "" if unit is None else f"9\n$INSUNITS\n70\n{unit}\n"
    return (
        f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n{header}0\nENDSEC\n"
        f"0\nSECTION\n2\nENTITIES\n{''.join(entities)}0\nENDSEC\n{end}"
    ).encode()


def polyline(
    vertices: Sequence[Vertex], layer: str = "Hall", *, closed: bool = True
) -> str:
    """An LWPOLYLINE through (x, y, bulge)."""
    body = "".join(f"10\n{x!r}\n20\n{y!r}\n42\n{b!r}\n" for x, y, b in vertices)
    return (
        f"0\nLWPOLYLINE\n5\n1F\n100\nAcDbEntity\n8\n{layer}\n100\nAcDbPolyline\n"
        f"90\n{len(vertices)}\n70\n{int(closed)}\n{body}"
    )


def old_polyline(vertices: Sequence[Vertex], layer: str = "Hall") -> str:
    """A closed POLYLINE with its VERTEX entities, as older programs write it."""
    body = "".join(
        f"0\nVERTEX\n8\n{layer}\n10\n{x!r}\n20\n{y!r}\n30\n0.0\n42\n{b!r}\n"
        for x, y, b in vertices
    )
    return f"0\nPOLYLINE\n8\n{layer}\n66\n1\n70\n1\n{body}0\nSEQEND\n8\n{layer}\n"


def line(x0: float, y0: float, x1: float, y1: float, layer: str = "Hall") -> str:
    """A LINE."""
    return (
        f"0\nLINE\n8\n{layer}\n10\n{x0!r}\n20\n{y0!r}\n30\n0.0\n"
        f"11\n{x1!r}\n21\n{y1!r}\n31\n0.0\n"
    )


def arc(
    x: float, y: float, radius: float, start: float, end: float, layer: str = "Hall"
) -> str:
    """An ARC, counterclockwise from one angle to another, in degrees."""
    return (
        f"0\nARC\n8\n{layer}\n10\n{x!r}\n20\n{y!r}\n30\n0.0\n40\n{radius!r}\n"
        f"50\n{start!r}\n51\n{end!r}\n"
    )


def circle(x: float, y: float, radius: float, layer: str = "Hall") -> str:
    """A CIRCLE."""
    return f"0\nCIRCLE\n8\n{layer}\n10\n{x!r}\n20\n{y!r}\n30\n0.0\n40\n{radius!r}\n"


def box(x: float, y: float, wide: float, deep: float, bulge: float = 0.0) -> list[Vertex]:
    """Corners of a rectangle, its first side bulging."""
    return [
        (x, y, bulge),
        (x + wide, y, 0.0),
        (x + wide, y + deep, 0.0),
        (x, y + deep, 0.0),
    ]
