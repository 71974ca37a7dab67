"""``render SHEET``: one picture of the floor, from above or in its largest room."""

from __future__ import annotations

import argparse
from pathlib import Path

from kit.cli.asking import add_sheet, ending, read_size, with_seed
from kit.job import Job, Pictures
from kit.plan import lay_out
from kit.stock import read_shelf
from kit.writing import writable_folder


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("render", help="a picture of the floor")
    add_sheet(verb)
    verb.add_argument("--view", choices=("above", "room"), default="room")
    verb.add_argument("--finish", help="a finish by name, else the sheet's own")
    verb.add_argument("--size", default="1600x1000", metavar="WxH", help="in pixels")
    verb.add_argument("--mood", choices=("day", "evening"), default="day")
    verb.add_argument("--seed", type=int, help="another pour of the same recipe")
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.png")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Draw the picture and write it whole."""
    width_px, height_px = read_size(given.size)
    out = ending(given.out, (".png", ".jpg", ".jpeg"))
    job = with_seed(Job.from_sheet(given.sheet), given.seed)
    shelf = read_shelf()
    finish = shelf.finish(given.finish or job.finish, about="--finish")
    plan = lay_out(job.site)
    writable_folder(out.parent)
    picture = Pictures(job.recipe, plan, shelf).shown(
        given.view,
        finish.key,
        width_px=width_px,
        height_px=height_px,
        samples=2,
        mood=given.mood,
    )
    picture.save(out)
    print(out)
