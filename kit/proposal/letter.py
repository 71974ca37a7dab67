"""The message that a proposal goes out with, and the draft of it as a file."""

from __future__ import annotations

import hashlib
from datetime import date, datetime, time
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime

from kit.errors import PaperError
from kit.press.cleaning import cleaned
from kit.proposal.catalogue import words_in
from kit.proposal.shown import ClientView


def letter(
    view: ClientView, pdf: bytes, *, name: str, to: str = "", draft: bool = True
) -> EmailMessage:
    """Write a short message with the paper attached.

    The same paper gives the same message, its Message-ID too: whoever gets it twice can
    tell. Nothing in it names the machine or its user.

    Parameters
    ----------
    view : ClientView
        What the paper says.
    pdf : bytes
    name : str
        File name of the attachment.
    to : str
        Address to send it to; the client's own, if none is given.
    draft : bool
        Marked as not sent yet, so that mail programs open it to be finished.

    Raises
    ------
    PaperError
        If an address is missing or is none, or the proposal lacks its price or date.
    """
    view = cleaned(view)
    if view.missing:
        lacks = ", ".join(view.missing)
        raise PaperError(f"proposal lacks {lacks}", expected="all of these before it goes")
    sender = _address(view.firm.email, view.firm.name, about="firm, email")
    known = view.client.person or view.client.name
    reader = _address(to or view.client.email, known, about="client, email")
    message = EmailMessage(policy=SMTP)
    message["From"], message["To"] = sender, reader
    message["Subject"] = _subject(view)
    message["Date"] = format_datetime(_noon(view.dated))
    digest = hashlib.sha256(pdf + str(reader).encode()).hexdigest()
    message["Message-ID"] = f"<{digest[:40]}@{sender.domain}>"
    if draft:
        message["X-Unsent"] = "1"
    message.set_content(_words(view), cte="quoted-printable")
    message.add_attachment(pdf, maintype="application", subtype="pdf", filename=name)
    message.set_boundary(f"paper-{digest[40:]}")
    return message


def eml(message: EmailMessage) -> bytes:
    """A message as the bytes of an ``.eml`` file."""
    return message.as_bytes()


def _subject(view: ClientView) -> str:
    say = words_in(view.language)
    return say("mail.subject", title=view.title, number=view.number)


def _words(view: ClientView) -> str:
    say, price, firm = words_in(view.language), view.price, view.firm
    assert price is not None, "a missing price was named before"
    body = say(
        "mail.body",
        place=view.place,
        total=price.total,
        price=price.per_area,
        per=price.per,
        area=price.area,
        day=price.open_until,
    )
    signed = (firm.person, firm.name, firm.phone, firm.email)
    sign = "\n".join(dict.fromkeys(line for line in signed if line))
    greeting = say("mail.greeting", name=view.client.person or view.client.name)
    parts = (greeting, body, say("mail.attached"), f"{say('mail.regards')}\n{sign}")
    return "\n\n".join(parts) + "\n"


def _address(spec: str, name: str, *, about: str) -> Address:
    expected = "an e-mail address such as name@example.com"
    if not spec:
        raise PaperError(about, found="none", expected=expected)
    try:
        address = Address(display_name=name, addr_spec=spec)
        spec.encode("ascii")
    except (MessageError, ValueError, IndexError):
        raise PaperError(about, found=spec, expected=expected) from None
    if not address.username or "." not in address.domain.strip("."):
        raise PaperError(about, found=spec, expected=expected)
    return address


def _noon(day: date | None) -> datetime:
    from datetime import UTC

    assert day is not None, "a missing date was named before"
    return datetime.combine(day, time(12), tzinfo=UTC)
