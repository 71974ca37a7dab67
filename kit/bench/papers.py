"""The proposal as the table hands it over: pressed and named."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kit.job import Job, Pictures, Workup


@dataclass(frozen=True)
class Paper:
    """A finished proposal.

    Parameters
    ----------
    name : str
        File name, safe on every system.
    pdf : bytes
    """

    name: str
    pdf: bytes


def make_paper(job: Job, answers: Workup, pictures: Pictures) -> Paper:
    """Draw the pictures for print and press the client's paper.

    Raises
    ------
    PaperError
        If something that must be on the paper is missing; all of it is named.
    """
    from kit.proposal import client_view, propose

    pdf = propose(client_view(job, answers, pictures))
    return Paper(paper_name(job), pdf)


def paper_name(job: Job) -> str:
    """``proposal-2611-07-slipway-pottery.pdf``: number and client, plain letters only."""
    words = f"{job.number} {job.site.client.name}".lower()
    plain = re.sub(r"[^a-z0-9]+", "-", words).strip("-")[:60].strip("-")
    return f"proposal-{plain}.pdf" if plain else "proposal.pdf"
