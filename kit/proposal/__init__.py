"""What the client reads: an allow-listed view of a job, pressed into one PDF."""

from kit.press.cleaning import unprintable
from kit.press.names import check_names
from kit.press.page import A4, LETTER, Page
from kit.press.sealing import SealKey, read_seal_key
from kit.press.setting import Printed
from kit.proposal.catalogue import languages, words_in
from kit.proposal.designs import PricedDesign, priced_designs
from kit.proposal.letter import eml, letter
from kit.proposal.posting import MailSettings, UnsureError, mail_settings, post
from kit.proposal.proposing import propose, propose_with_pages, write_proposal
from kit.proposal.seal import seal
from kit.proposal.shown import ClientView
from kit.proposal.viewing import client_view
from kit.proposal.withheld import owners_figures

__all__ = [
    "A4",
    "LETTER",
    "ClientView",
    "MailSettings",
    "Page",
    "PricedDesign",
    "Printed",
    "SealKey",
    "UnsureError",
    "check_names",
    "client_view",
    "eml",
    "languages",
    "letter",
    "mail_settings",
    "owners_figures",
    "post",
    "priced_designs",
    "propose",
    "propose_with_pages",
    "read_seal_key",
    "seal",
    "unprintable",
    "words_in",
    "write_proposal",
]
