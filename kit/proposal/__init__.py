"""What the client reads: an allow-listed view of a job, pressed into one PDF."""

from kit.proposal.cleaning import unprintable
from kit.proposal.names import check_names
from kit.proposal.press import propose, write_proposal
from kit.proposal.shown import A4, LETTER, ClientView, Page
from kit.proposal.viewing import client_view
from kit.proposal.withheld import owners_figures

__all__ = [
    "A4",
    "LETTER",
    "ClientView",
    "Page",
    "check_names",
    "client_view",
    "owners_figures",
    "propose",
    "unprintable",
    "write_proposal",
]
