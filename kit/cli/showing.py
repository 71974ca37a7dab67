"""``showing [SHEET]``: the floor near and far, in every finish, light and palette."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from tqdm import tqdm

from kit.cli.asking import add_sheet
from kit.cli.contact import Group, contact_sheet
from kit.job import Job, Pictures, job_from
from kit.plan import lay_out
from kit.plan.views import SEEN, View
from kit.shipped import shipped
from kit.site import read_sheet
from kit.units import M_PER_FT
from kit.writing import writable_folder, write_files

if TYPE_CHECKING:
    from kit.look.picture import Picture

WIDTH_PX = 1600
SHAPE = 0.625
"""Height of every picture over its width."""
SAMPLES = 2
SPOTS, LOOKS = 24, (33, 21)
"""Parts of the largest room, along each side, of which a close-up is chosen; places at
which each is looked at, across and up."""
INDEX, PAGE = "index.txt", "contact-sheet.jpg"
HALL = "netloft.toml"
ABOVE, CLOSE, ROOM, PALETTES = (
    "From above",
    "Two feet wide",
    "Standing in the room",
    "Five palettes",
)

LIGHTS = {"day": "by day", "evening": "in the evening"}
STANDS: dict[str, tuple[View, str, str]] = {
    "day": ("room", "day", "by day"),
    "evening": ("doorway", "evening", "in the evening"),
    "door": ("doorway", "day", "from the doorway"),
    "wall": ("wall", "day", "along the wall"),
}
"""First where finishes are best told apart, some window or lamp mirrored towards the eye;
then with the windows behind, the doors ahead."""


@dataclass(frozen=True)
class Shot:
    """One picture of a showing.

    Parameters
    ----------
    name : str
        Of its file, without ending.
    group, title : str
        Where it stands on the page, and the words below it.
    finish : str
        Key on the shelf.
    wide_ft : float or None
        Width of the part seen from above; None for all of it.
    """

    name: str
    group: str
    title: str
    view: View
    finish: str
    mood: str = "day"
    wide_ft: float | None = None


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "showing", help="the floor near and far, in every finish, light and palette"
    )
    add_sheet(verb, optional=True)
    verb.add_argument(
        "--out", type=Path, default=Path("pourtable-showing"), metavar="DIR",
        help="folder to fill",
    )  # fmt: skip
    verb.add_argument(
        "--width", type=int, default=WIDTH_PX, metavar="PX", help="width of each picture"
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Take every picture, set the page, and write all of it or nothing."""
    from kit.look.picture import checked_size

    tables = read_sheet(given.sheet or shipped("demo_assets") / "boathouse.toml")
    job = job_from(tables)
    size = (given.width, round(given.width * SHAPE))
    checked_size(*size)
    out = writable_folder(given.out)
    groups: dict[str, list[tuple[str, Picture]]] = {}
    files: dict[str, bytes] = {}
    index = [f"{job.title}, {job.site.client.name}", ""]
    with tqdm(
        total=sum(len(shots) for _, shots in _floors(job, tables)) + 1,
        bar_format="{desc:<34}{bar} {n_fmt}/{total_fmt}", disable=None,
    ) as bar:  # fmt: skip
        for floor, shots in _floors(job, tables):
            pictures = Pictures(floor.recipe, lay_out(floor.site))
            for shot in shots:
                bar.set_description_str(shot.title)
                picture = _taken(shot, pictures, size)
                groups.setdefault(shot.group, []).append((shot.title, picture))
                files[f"{shot.name}.png"] = picture.png()
                index.append(_line(shot, floor, pictures, size))
                bar.update()
        bar.set_description_str("Setting the page")
        page = contact_sheet(
            index[0], [Group(title, tuple(seen)) for title, seen in groups.items()]
        )
        index.append(f"{PAGE:<30}all of them on one page")
        files |= {PAGE: page.jpeg(90), INDEX: ("\n".join(index) + "\n").encode()}
        write_files(out, files)
        bar.update()
    print(f"{len(files)} files are in {out}; {PAGE} shows them all, {INDEX} names them")


def _floors(job: Job, tables: dict[str, Any]) -> Iterator[tuple[Job, tuple[Shot, ...]]]:
    """Floors to look at, each with its pictures."""
    yield job, tuple(_from_above())
    yield (
        Job.from_sheet(shipped("demo_assets") / HALL),
        (Shot("above-80-ft", ABOVE, "A hall, 80 ft wide", "above", "satin"),),
    )
    yield job, (*_close_up(), *_in_the_room())
    for key, palette in read_sheet(shipped("demo_assets") / "palettes.toml").items():
        floor = dict(palette)
        name = floor.pop("name")
        yield (
            job_from({**tables, "floor": {**tables["floor"], **floor}}),
            (
                Shot(f"palette-{key}-above", PALETTES, name, "above", "satin", wide_ft=25),
                Shot(f"palette-{key}-room", PALETTES, f"{name} in satin", "room", "satin"),
            ),
        )


def _from_above() -> Iterator[Shot]:
    for feet in (8, 25):
        title = f"{feet} ft wide"
        yield Shot(f"above-{feet}-ft", ABOVE, title, "above", "satin", wide_ft=feet)


def _close_up() -> Iterator[Shot]:
    for finish in ("matte_grip", "satin", "gloss"):
        yield Shot(
            f"close-up-2-ft-{finish}", CLOSE, _words(finish), "above", finish, wide_ft=2
        )


def _in_the_room() -> Iterator[Shot]:
    for name, (view, mood, words) in STANDS.items():
        for finish in ("matte", "satin", "gloss"):
            title = f"{_words(finish)} {words}"
            yield Shot(f"room-{name}-{finish}", ROOM, title, view, finish, mood)


def _words(finish: str) -> str:
    return finish.replace("matte_grip", "matte with grip").capitalize()


def _taken(shot: Shot, pictures: Pictures, size: tuple[int, int]) -> Picture:
    part = None
    if shot.wide_ft is not None:
        from kit.look.sight import Part

        wide_m = shot.wide_ft * M_PER_FT
        middle = pictures.plan.most_open_m
        if shot.group == CLOSE:
            middle = _liveliest(pictures, wide_m)
        part = Part(*middle, wide_m)
    return pictures.shown(
        shot.view, shot.finish, width_px=size[0], height_px=size[1], samples=SAMPLES,
        mood=shot.mood, part=part,
    )  # fmt: skip


def _liveliest(pictures: Pictures, wide_m: float) -> tuple[float, float]:
    """Middle of the part, this wide, where colors meet and cells open the most. [m]"""
    west, south, east, north = pictures.plan.largest_room.outline.bounds
    half = np.array([0.5 * wide_m, 0.5 * SHAPE * wide_m])
    spots = np.stack(
        np.meshgrid(np.linspace(west, east, SPOTS), np.linspace(south, north, SPOTS)), -1
    ).reshape(-1, 2)
    inside = shapely.contains_xy(pictures.plan.surface.buffer(-wide_m), *spots.T)
    if not inside.any():
        return pictures.plan.most_open_m
    spots = spots[inside]
    over, up = np.meshgrid(np.linspace(-1, 1, LOOKS[0]), np.linspace(-1, 1, LOOKS[1]))
    places = spots[:, None, None] + half * np.stack([over, up], axis=-1)
    film = pictures.poured.film_at(places[..., 0], places[..., 1], wide_m / LOOKS[0])
    near = (-2, -1)
    parts = film.shares.var(axis=near).sum(axis=0)
    edges, cells = (
        sum(np.diff(plane, axis=axis).var(axis=near).sum(axis=0) for axis in near)
        for plane in (film.shares, film.thickness[None])
    )
    lively = np.asarray(parts * edges * cells)
    east_m, north_m = spots[int(lively.argmax())]
    return float(east_m), float(north_m)


def _line(shot: Shot, floor: Job, pictures: Pictures, size: tuple[int, int]) -> str:
    """Say in one line of the index what a picture is."""
    palette = floor.recipe.palette
    colors = ", ".join(
        f"{pictures.shelf.pigment(c.pigment).name} {c.share:.0%}" for c in palette.colours
    )
    light = LIGHTS[shot.mood]
    seen = SEEN[shot.view]
    if shot.wide_ft is not None:
        seen += f", {shot.wide_ft:g} ft wide"
    finish = pictures.shelf.finish(shot.finish, about="finish").name.lower()
    return (
        f"{shot.name + '.png':<30}{floor.title} {seen}, {finish}, {light}; "
        f"{colors} over {pictures.shelf.tint(palette.tint).name}; seed "
        f"{floor.recipe.seed}; {size[0]} x {size[1]} pixels"
    )
