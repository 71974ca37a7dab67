"""``render SHEET``: one picture of the floor, from above or in its largest room."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tqdm import tqdm

from kit.cli.asking import add_sheet, ending, read_size
from kit.errors import SheetError
from kit.job import Job, Pictures
from kit.plan import lay_out
from kit.plan.views import SEEN, VIEWS
from kit.stock import read_shelf
from kit.units import read_length
from kit.writing import writable_folder, write_file

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from kit.look.sight import Part

SAMPLES = 2
VIEW_HELP = "; ".join(f"{view}: {words}" for view, words in SEEN.items())
LONG_PX = 8_000_000
"""Above so many pixels a person waits long enough for a bar."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("render", help="a picture of the floor")
    add_sheet(verb)
    verb.add_argument("--view", choices=VIEWS, default="room", help=VIEW_HELP)
    verb.add_argument("--finish", help="a finish by name, else the sheet's own")
    verb.add_argument("--size", default="1600x1000", metavar="WxH", help="in pixels")
    verb.add_argument("--mood", choices=("day", "evening"), default="day")
    verb.add_argument("--seed", type=int, help="another pour of the same recipe")
    verb.add_argument(
        "--wide", metavar="LENGTH", help="from above: only a part of the floor, so wide"
    )
    verb.add_argument(
        "--at",
        nargs=2,
        metavar=("EAST", "NORTH"),
        help="the middle of that part; else the most open place of the largest room",
    )
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.png")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Draw the picture and write it whole."""
    width_px, height_px = read_size(given.size)
    out = ending(given.out, (".png", ".jpg", ".jpeg"))
    job = Job.from_sheet(given.sheet)
    job = job if given.seed is None else job.with_seed(given.seed)
    shelf = read_shelf()
    finish = shelf.finish(given.finish or job.finish, about="--finish").key
    pictures = Pictures(job.recipe, lay_out(job.site), shelf)
    part = _part(given, pictures)
    writable_folder(out.parent)
    size: dict[str, Any] = {
        "width_px": width_px,
        "height_px": height_px,
        "samples": SAMPLES,
    }
    if given.view != "above":
        pictures.shown(given.view, finish, **size, mood=given.mood).save(out)
    else:
        bands = pictures.bands(finish, **size, mood=given.mood, part=part)
        _save(_watched(bands, width_px, height_px), width_px, height_px, out)
    print(out)


def _part(given: argparse.Namespace, pictures: Pictures) -> Part | None:
    """The part of the floor that is asked for."""
    if given.wide is None and given.at is None:
        return None
    if given.view != "above":
        raise SheetError(
            "--wide, --at", found=f"--view {given.view}", expected="--view above"
        )
    if given.wide is None:
        raise SheetError("--at", found="no --wide", expected="how wide the part is")
    from kit.look.sight import Part

    if given.at is None:
        east, north = pictures.plan.most_open_m
    else:
        east, north = (read_length(text, about="--at") for text in given.at)
    return Part(east, north, read_length(given.wide, about="--wide"))


def _watched(
    bands: Iterator[NDArray[np.uint8]], width_px: int, height_px: int
) -> Iterator[NDArray[np.uint8]]:
    """Pass bands on, and tell how far the picture is."""
    quick = True if width_px * height_px < LONG_PX else None  # None: only on a terminal
    with tqdm(
        total=height_px, desc="Pouring", bar_format="{desc:<10}{bar} {n_fmt}/{total_fmt}",
        unit="rows", disable=quick,
    ) as bar:  # fmt: skip
        for band in bands:
            yield band
            bar.update(len(band))


def _save(
    bands: Iterator[NDArray[np.uint8]], width_px: int, height_px: int, out: Path
) -> None:
    """Write a PNG as its rows come; a JPEG is gathered first."""
    import numpy as np

    from kit.look.picture import Picture, checked_size
    from kit.look.png import png_pieces

    if out.suffix.lower() == ".png":
        write_file(out, png_pieces(width_px, height_px, bands))
        return
    checked_size(width_px, height_px)
    rgb = np.empty((height_px, width_px, 3), dtype=np.uint8)
    first = 0
    for band in bands:
        rgb[first : first + len(band)] = band
        first += len(band)
    Picture(rgb).save(out)
