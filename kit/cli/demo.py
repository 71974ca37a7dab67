"""``demo [--out DIR]``: the main job on the demo sheet, every file of it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from tqdm import tqdm

from kit.bid import owner_json
from kit.cli.keeping import keep
from kit.job import Job, Pictures, Workup, workup
from kit.money import shown
from kit.shipped import shipped
from kit.writing import writable_folder, write_file

ABOVE_PX = (1800, 1100)
ROOM_PX = (1600, 1000)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("demo", help="the whole line on a demo floor")
    verb.add_argument(
        "--out",
        type=Path,
        default=Path("pourtable-demo"),
        metavar="DIR",
        help="folder to fill",
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Work the demo up and write what a contractor would hand over."""
    from kit.cli.plan import pressed_pack
    from kit.proposal import client_view, owners_figures, propose

    out = writable_folder(given.out)
    sheet = shipped("demo_assets") / "boathouse.toml"
    with tqdm(
        total=7, bar_format="{desc:<34}{bar} {n_fmt}/{total_fmt}", disable=None
    ) as bar:
        _say(bar, "Measuring and pricing")
        job = Job.from_sheet(sheet)
        answers = workup(job)
        pictures = Pictures(job.recipe, answers.plan)
        _say(bar, "Pouring (longer the first time)")
        above = pictures.shown(
            "above", job.finish, width_px=ABOVE_PX[0], height_px=ABOVE_PX[1], samples=2
        )
        _say(bar, "Looking into the room")
        rooms = {
            finish: pictures.shown(
                "room", finish, width_px=ROOM_PX[0], height_px=ROOM_PX[1], samples=2
            )
            for finish in ("matte", "gloss")
        }
        _say(bar, "Pressing the proposal")
        view = client_view(job, answers, pictures)
        paper = propose(view, withheld=owners_figures(answers))
        _say(bar, "Planning the pour")
        pack = pressed_pack(job, answers, pictures)
        _say(bar, "Writing")
        write_file(out / "proposal.pdf", paper)
        write_file(out / "job-pack.pdf", pack)
        write_file(out / "floor.png", above.png())
        for finish, picture in rooms.items():
            write_file(out / f"room-{finish}.png", picture.png())
        owner = json.dumps(owner_json(answers.bid), indent=2, ensure_ascii=False)
        write_file(out / "bid.json", owner.encode())
        for example in (sheet, shipped("demo_assets") / "chart_house.toml"):
            write_file(out / example.name, example.read_bytes())
        keep(job, answers, note="demo")
        _say(bar, "Done")
    print(summary(job, answers, out))


def _say(bar: tqdm[None], stage: str) -> None:
    bar.set_description_str(stage)
    bar.update()


def summary(job: Job, answers: Workup, out: Path) -> str:
    """Three lines for the table: what, how much, where, and how to go on."""
    offer = answers.offer
    names = (
        "proposal.pdf, job-pack.pdf, floor.png, room-matte.png, room-gloss.png, bid.json "
        "and two sheets"
    )
    return (
        f"{job.site.client.name}: {job.title}\n"
        f"{shown(offer.total, offer.currency)} for {offer.area_sqft:,.1f} sq ft of poured "
        f"floor, {shown(offer.price_per_sqft, offer.currency)} per sq ft\n"
        f"{names} are in {out}\n"
        f"Open the table:  python -m kit open"
    )
