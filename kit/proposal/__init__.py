"""What the client reads: an allow-listed view of a job, pressed into one PDF."""

from kit.press.cleaning import unprintable
from kit.press.names import check_names
from kit.press.page import A4, LETTER, Page
from kit.press.setting import Printed
from kit.proposal.catalogue import languages, words_in
from kit.proposal.designs import PricedDesign, priced_designs
from kit.proposal.proposing import propose, propose_with_pages, write_proposal
from kit.proposal.shown import ClientView
from kit.proposal.viewing import client_view
from kit.proposal.withheld import owners_figures

__all__ = [
    "A4",
    "LETTER",
    "ClientView",
    "Page",
    "PricedDesign",
    "Printed",
    "check_names",
    "client_view",
    "languages",
    "owners_figures",
    "priced_designs",
    "propose",
    "propose_with_pages",
    "unprintable",
    "words_in",
    "write_proposal",
]
