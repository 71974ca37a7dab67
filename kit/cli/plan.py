"""``plan SHEET --out FILE.pdf``: the crew's paper."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from kit.cli.asking import add_sheet, ending
from kit.job import Job, Pictures, workup
from kit.plan.mending import FIXES, Fix
from kit.site.temperatures import read_temperature
from kit.writing import writable_folder, write_file

if TYPE_CHECKING:
    from kit.job import Workup


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("plan", help="the job pack as a PDF: map, cards, lists, logs")
    add_sheet(verb)
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")
    verb.add_argument("--crew", type=int, metavar="N", help="people on site for the pour")
    verb.add_argument(
        "--slab", metavar="DEGREES", help="slab while coats are laid, such as '68 F'"
    )
    verb.add_argument(
        "--fix", choices=FIXES, help="what is done where a room cannot be left dry"
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Work the sheet up, plan the pour, press the pack."""
    out = ending(given.out, (".pdf",))
    slab_c = read_temperature(given.slab, about="--slab") if given.slab else None
    job = Job.from_sheet(given.sheet)
    answers = workup(job)
    writable_folder(out.parent)
    pictures = Pictures(job.recipe, answers.plan)
    pack = pressed_pack(
        job, answers, pictures, people=given.crew, slab_c=slab_c, fix=given.fix
    )
    write_file(out, pack)
    print(out)


def pressed_pack(
    job: Job,
    answers: Workup,
    pictures: Pictures,
    *,
    people: int | None = None,
    slab_c: float | None = None,
    fix: Fix | None = None,
) -> bytes:
    """The job pack of a job, with no amount of money in it."""
    from kit.job.packing import packing_of
    from kit.jobpack import crew_view, job_pack
    from kit.proposal import owners_figures

    plan = packing_of(job, answers, pictures, people=people, slab_c=slab_c, fix=fix)
    view = crew_view(
        job,
        plan.floor.answers,
        plan.pouring,
        pictures.shelf,
        gate=plan.gate,
        schedule=plan.schedule,
        fixes=plan.floor.says,
    )
    asked = (option.total for option in answers.offer.options)
    amounts = (*owners_figures(answers), *(f"{amount:.2f}" for amount in asked))
    return job_pack(view, withheld=amounts)
