"""``propose SHEET --out FILE.pdf``: the client's paper, its draft message, sending it."""

from __future__ import annotations

import argparse
import datetime
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kit.cli.asking import PASSPHRASE, add_prices, add_sheet, ask_passphrase, ending
from kit.cli.keeping import keep
from kit.errors import BookError
from kit.job import Job, Pictures, Workup, workup
from kit.writing import writable_folder, write_file

if TYPE_CHECKING:
    from kit.book import NextPaper
    from kit.proposal import ClientView, MailSettings, SealKey


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("propose", help="the proposal as a PDF, drafted or sent")
    add_sheet(verb)
    add_prices(verb)
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")
    verb.add_argument(
        "--language", metavar="TAG", help="of the paper: en, es, or with a country, es-MX"
    )
    verb.add_argument("--paper", choices=("letter", "a4"), help="its size")
    verb.add_argument("--units", choices=("us", "metric"), help="feet, or meters")
    verb.add_argument(
        "--fields", action="store_true", help="with empty fields to sign in on a computer"
    )
    verb.add_argument(
        "--seal",
        type=Path,
        metavar="KEY.p12",
        help=f"seal it with this key; its passphrase is asked for, or in {PASSPHRASE}",
    )
    verb.add_argument(
        "--eml", type=Path, metavar="FILE.eml", help="a draft message with the paper"
    )
    verb.add_argument(
        "--send", action="store_true", help="send it to the client by your mail server"
    )
    verb.add_argument("--to", default="", metavar="ADDRESS", help="instead of the client's")
    verb.add_argument(
        "--again", action="store_true", help="send what went out before once more"
    )
    verb.set_defaults(run=run)


@dataclass(frozen=True)
class _Paper:
    """What was pressed: from what, as it is handed out, and as it was before its seal."""

    job: Job
    answers: Workup
    view: ClientView
    number: int
    pdf: bytes
    unsealed: bytes | None


def run(given: argparse.Namespace) -> None:
    """Work the sheet up, press the paper, keep the job; draft or send the message."""
    from kit.proposal import eml, letter, mail_settings

    out = ending(given.out, (".pdf",))
    draft = ending(given.eml, (".eml",)) if given.eml else None
    settings = mail_settings() if given.send else None
    key = _opened(given.seal) if given.seal else None
    made = _pressed(given, key)
    files = {out: made.pdf}
    if draft:
        files[draft] = eml(letter(made.view, made.pdf, name=out.name, to=given.to))
    for file, content in files.items():
        write_file(file, content)
    if settings:
        _send(made, settings, given)
    else:
        keep(
            *(made.job, made.answers),
            note=f"proposal written to {out.name}",
            paper=made.pdf, number=made.number, unsealed=made.unsealed,
        )  # fmt: skip
    print(out)


def _pressed(given: argparse.Namespace, key: SealKey | None) -> _Paper:
    from kit.proposal import client_view, owners_figures, propose, seal

    job = _as_asked(Job.from_sheet(given.sheet), given)
    answers = workup(job)
    writable_folder(given.out.parent)
    paper = _next(job, answers)
    view = client_view(
        *(job, answers, Pictures(job.recipe, answers.plan)),
        revision=(paper.number, paper.changed),
    )
    pdf = propose(view, withheld=owners_figures(answers))
    if key is None:
        return _Paper(job, answers, view, paper.number, pdf, None)
    sealed = seal(pdf, view, key, on=datetime.date.today())
    return _Paper(job, answers, view, paper.number, sealed, pdf)


def _as_asked(job: Job, given: argparse.Namespace) -> Job:
    """The job with its paper as the command asks for it."""
    from kit.proposal import words_in

    if given.language:
        job = job.changed(language=words_in(given.language).tag)
    asked = {
        "page": given.paper,
        "units": given.units,
        "fields_to_sign": given.fields,
    }
    paper = {name: choice for name, choice in asked.items() if choice}
    return job.changed(paper=job.paper.changed(**paper)) if paper else job


def _opened(key: Path) -> SealKey:
    from kit.proposal import read_seal_key

    return read_seal_key(key, ask_passphrase(f"Passphrase of {key.name}: "))


def _next(job: Job, answers: Workup) -> NextPaper:
    """What the book knows of papers that went out; without a book, the first paper."""
    from kit.book import FIRST, Book, next_paper

    try:
        with Book() as book:
            return next_paper(book, job, answers.offer.total)
    except BookError as error:
        print(f"job book not read: {error}", file=sys.stderr)
        return FIRST


def _send(made: _Paper, settings: MailSettings, given: argparse.Namespace) -> None:
    """Freeze the paper in the book, send it, and say in the book how that went."""
    from kit.book import Book
    from kit.cli.sending import send_kept
    from kit.proposal import letter

    message = letter(made.view, made.pdf, name=given.out.name, to=given.to, draft=False)
    with Book() as book:
        sent = send_kept(
            *(book, made.job, message, made.pdf, settings),
            number=made.number,
            total=made.answers.offer.total,
            cost=made.answers.bid.cost,
            unsealed=made.unsealed,
            again=given.again,
        )
    print(f"sent to {sent.to} as revision {sent.number}, SHA-256 {sent.sha256}")
