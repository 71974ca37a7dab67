"""``propose SHEET --out FILE.pdf``: the client's paper."""

from __future__ import annotations

import argparse
from pathlib import Path

from kit.cli.asking import add_prices, add_sheet, ending
from kit.cli.keeping import keep
from kit.job import Job, Pictures, workup
from kit.writing import writable_folder, write_file


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("propose", help="the proposal as a PDF")
    add_sheet(verb)
    add_prices(verb)
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")
    verb.add_argument(
        "--language", metavar="TAG", help="of the paper: en, es, or with a country, es-MX"
    )
    verb.add_argument("--paper", choices=("letter", "a4"), help="its size")
    verb.add_argument("--units", choices=("us", "metric"), help="feet, or metres")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Work the sheet up, press the paper, keep the job."""
    from kit.proposal import client_view, owners_figures, propose

    out = ending(given.out, (".pdf",))
    job = _as_asked(Job.from_sheet(given.sheet), given)
    answers = workup(job)
    writable_folder(out.parent)
    view = client_view(job, answers, Pictures(job.recipe, answers.plan))
    write_file(out, propose(view, withheld=owners_figures(answers)))
    keep(job, answers, note=f"proposal written to {out.name}", is_out=True)
    print(out)


def _as_asked(job: Job, given: argparse.Namespace) -> Job:
    """The job with its paper as the command asks for it."""
    from kit.proposal import words_in

    if given.language:
        job = job.changed(language=words_in(given.language).tag)
    asked = {"page": given.paper, "units": given.units}
    paper = {name: choice for name, choice in asked.items() if choice}
    return job.changed(paper=job.paper.changed(**paper)) if paper else job
