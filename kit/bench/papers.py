"""The proposal as the table shows it and hands it over: pressed, pictured and named."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.book import FIRST, NextPaper
from kit.job import Job, Workup
from kit.pour.recipe import Recipe
from kit.stock import Shelf

if TYPE_CHECKING:
    from kit.proposal.shots import Looks


@dataclass(frozen=True)
class Paper:
    """A finished proposal.

    Parameters
    ----------
    name : str
        File name, safe on every system.
    pdf : bytes
    pages : tuple of bytes
        A PNG of each page, set from the same manuscript.
    """

    name: str
    pdf: bytes
    pages: tuple[bytes, ...] = ()


def make_paper(
    job: Job,
    answers: Workup,
    shelf: Shelf,
    poured: Callable[[Recipe], Looks],
    number: NextPaper = FIRST,
) -> Paper:
    """Draw the pictures for print and press the client's paper.

    Nothing is handed out, not even a picture of a page, before the finished file was
    searched for the owner's figures.

    Raises
    ------
    PaperError
        If something that must be on the paper is missing; all of it is named.
    """
    from kit.proposal import client_view, owners_figures, priced_designs, propose_with_pages

    designs = priced_designs(job, shelf)
    view = client_view(
        *(job, answers, poured(job.recipe)),
        poured=poured,
        designs=designs,
        revision=(number.number, number.changed),
    )
    printed = propose_with_pages(
        view, withheld=owners_figures(answers, *(one.answers for one in designs))
    )
    return Paper(paper_name(job), printed.pdf, printed.pages)


def paper_name(job: Job) -> str:
    """``proposal-2611-07-slipway-pottery.pdf``: number and client, plain letters only.

    One that is signed says so, and never takes the place of the one that was sent.
    """
    words = f"{job.number} {job.site.client.name}".lower()
    plain = re.sub(r"[^a-z0-9]+", "-", words).strip("-")[:60].strip("-")
    parts = ["proposal", *filter(None, [plain]), *(["signed"] if job.signed else [])]
    return f"{'-'.join(parts)}.pdf"
