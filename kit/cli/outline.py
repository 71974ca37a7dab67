"""``outline FILE --out FILE``: rooms from a drawing into a sheet, or from a sheet out."""

from __future__ import annotations

import argparse
from pathlib import Path

from kit.cli.asking import ending
from kit.errors import SheetError
from kit.site.sheet import read_sheet
from kit.units import feet_inches, square_feet
from kit.writing import write_file

DRAWINGS = (".dxf", ".json", ".geojson")
SHEETS = (".toml",)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "outline", help="rooms from a drawing into a measure sheet, or from a sheet out"
    )
    verb.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        help="drawing (DXF), plain coordinates (JSON), or measure sheet (TOML)",
    )
    verb.add_argument(
        "--out", type=Path, required=True, metavar="FILE", help=".toml, .dxf or .json"
    )
    verb.add_argument(
        "--unit", help="in, ft, mm, cm or m, for a drawing that does not say its unit"
    )
    verb.add_argument(
        "--layer",
        action="append",
        default=[],
        metavar="NAME",
        help="only that layer of the drawing; may be given again",
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Read rooms in one form and write them in another."""
    if given.file.suffix.lower() in SHEETS:
        _write_out(given)
    else:
        _write_sheet(given)


def _write_sheet(given: argparse.Namespace) -> None:
    from kit.plan.drawn import read_coordinates, read_dxf, sheet_text
    from kit.plan.rooms import planned

    if given.file.suffix.lower() not in DRAWINGS:
        raise SheetError(
            given.file.name,
            found=given.file.suffix or "a name without an ending",
            expected=f"a name ending in {', '.join((*DRAWINGS, *SHEETS))}",
        )
    out = ending(given.out, SHEETS)
    if given.file.suffix.lower() == ".dxf":
        drawn = read_dxf(given.file, unit=given.unit, layers=given.layer)
    elif given.unit or given.layer:
        raise SheetError(
            "--unit, --layer", found="coordinates", expected="them with a drawing only"
        )
    else:
        drawn = read_coordinates(given.file)
    areas = [(room.name, planned(room).poured.area) for room in drawn.rooms]
    text = sheet_text(drawn.rooms, source=f"{given.file.name}, drawn in {drawn.unit}")
    write_file(out, text.encode("utf-8"))
    for name, area_m2 in areas:
        print(f"{name:<34}{square_feet(area_m2):>12,.1f} sq ft")
    if any(drawn.moved_m):
        east, north = (feet_inches(by) for by in drawn.moved_m)
        print(f"Moved by {east} east and {north} north, so that all lies beyond zero.")
    for left in drawn.left_out:
        print(f"Left out: {left}")
    print(out)


def _write_out(given: argparse.Namespace) -> None:
    from kit.plan.drawn import coordinates_of, dxf_of, rooms_of

    if given.unit or given.layer:
        raise SheetError(
            "--unit, --layer", found="a measure sheet", expected="them with a drawing only"
        )
    out = ending(given.out, DRAWINGS)
    rooms = rooms_of(read_sheet(given.file))
    content = dxf_of(rooms) if out.suffix.lower() == ".dxf" else coordinates_of(rooms)
    write_file(out, content)
    print(out)
