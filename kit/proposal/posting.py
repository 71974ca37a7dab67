"""Handing a message to the firm's mail server, once and never twice."""

from __future__ import annotations

import contextlib
import os
import re
import smtplib
import ssl
import time
import tomllib
from collections.abc import Callable
from email.message import EmailMessage
from pathlib import Path
from typing import Literal

from pydantic import Field

from kit.errors import PaperError
from kit.record import Record, filled

VARIABLE = "KIT_MAIL"
"""Names another file of settings than that of the configuration folder."""
PASSWORD = "KIT_MAIL_PASSWORD"
HERE = "[127.0.0.1]"
"""What the machine calls itself to the server: not by its own name."""


class MailSettings(Record):
    """Where and how the firm's mail goes out; the password stands in the environment."""

    host: str = Field(min_length=1, max_length=253)
    port: int = Field(default=587, ge=1, le=65535, strict=True)
    security: Literal["starttls", "tls", "none"] = Field(
        default="starttls", description="None only to a server on this machine."
    )
    user: str = Field(default="", max_length=320)
    timeout_s: float = Field(default=20.0, gt=0, le=300, description="For each step. [s]")
    tries: int = Field(default=3, ge=1, le=10, strict=True)
    wait_s: float = Field(
        default=2.0, ge=0, le=60, description="Before the second try; doubled after. [s]"
    )


class UnsureError(PaperError):
    """The message was handed over whole and no answer came: it may have gone out."""


def mail_settings(path: Path | None = None) -> MailSettings:
    """Read how mail goes out: ``mail.toml`` of the configuration folder, or of KIT_MAIL.

    Raises
    ------
    PaperError
        If there is no such file, or a field in it is wrong.
    """
    place = path or _place()
    try:
        given = tomllib.loads(place.read_text(encoding="utf-8"))
    except (OSError, UnicodeError, tomllib.TOMLDecodeError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(
            f"mail settings {place}", found=found, expected="TOML with host, port, user"
        ) from None
    settings = filled(MailSettings, given, where=f"mail settings {place.name}",
                      family=PaperError)  # fmt: skip
    if settings.security == "none" and settings.host not in ("localhost", "127.0.0.1"):
        raise PaperError(
            f"mail settings {place.name}, security",
            found="none",
            expected="tls or starttls for a server elsewhere",
        )
    return settings


def post(
    message: EmailMessage,
    settings: MailSettings,
    *,
    password: str | None = None,
    trust: ssl.SSLContext | None = None,
    wait: Callable[[float], None] = time.sleep,
) -> int:
    """Hand a message to the server; try again only where it surely was not taken.

    Parameters
    ----------
    message : EmailMessage
    settings : MailSettings
    password : str, optional
        Of the user; that of ``KIT_MAIL_PASSWORD`` if none is given.
    trust : ssl.SSLContext, optional
        Whose certificates are believed; those of the system by default.
    wait : callable
        Waits so many seconds between two tries.

    Returns
    -------
    int
        Tries that it took.

    Raises
    ------
    UnsureError
        If the whole message was handed over and the answer never came. It is not sent
        again: the client's mailbox, or the server's log, has to be asked.
    PaperError
        If the server refuses it, or cannot be reached in so many tries; it was not sent.
    """
    secret = os.environ.get(PASSWORD, "") if password is None else password
    pause = settings.wait_s
    for tried in range(1, settings.tries + 1):
        try:
            _once(message, settings, secret, trust or ssl.create_default_context())
        except (smtplib.SMTPException, OSError) as error:
            if tried == settings.tries or not _may_pass(error):
                raise PaperError(
                    f"mail server {settings.host}",
                    found=_told(error),
                    expected="it to take the message; nothing was sent",
                ) from None
            wait(pause)
            pause *= 2
        else:
            return tried
    raise AssertionError


def _once(
    message: EmailMessage, settings: MailSettings, secret: str, trust: ssl.SSLContext
) -> None:
    server = _reached(settings, trust)
    try:
        server.ehlo()
        if settings.security == "starttls":
            server.starttls(context=trust)
            server.ehlo()
        if settings.user:
            server.login(settings.user, secret)
        sender, reader = (message[name].addresses[0].addr_spec for name in ("From", "To"))
        _expect(server.mail(sender), 250)
        _expect(server.rcpt(reader), 250, 251)
        _expect(server.docmd("data"), 354)
        # without its last line no server takes a message: till there a fault is no mail
        server.send(_dotted(message.as_bytes()))
        _expect(_handed_over(server, settings.host), 250)
        _leave(server)
    finally:
        server.close()


def _leave(server: smtplib.SMTP) -> None:
    """Part as is polite; a fault here is none of a message that was taken."""
    with contextlib.suppress(smtplib.SMTPException, OSError):
        server.quit()


def _handed_over(server: smtplib.SMTP, host: str) -> tuple[int, bytes]:
    try:
        server.send(b".\r\n")
        return server.getreply()
    except (smtplib.SMTPException, OSError) as error:
        raise UnsureError(
            f"mail server {host}",
            found=f"no answer to the whole message ({_told(error)})",
            expected="to be asked whether it came; it is not sent again by itself",
        ) from None


def _reached(settings: MailSettings, trust: ssl.SSLContext) -> smtplib.SMTP:
    where, seconds = (settings.host, settings.port, HERE), settings.timeout_s
    if settings.security == "tls":
        return smtplib.SMTP_SSL(*where, timeout=seconds, context=trust)
    return smtplib.SMTP(*where, timeout=seconds)


def _expect(answer: tuple[int, bytes], *codes: int) -> None:
    if answer[0] not in codes:
        raise smtplib.SMTPResponseException(*answer)


def _dotted(content: bytes) -> bytes:
    """Lines end in CRLF, and one that begins with a dot gets another: RFC 5321 4.5.2."""
    lines = re.sub(rb"\r?\n", b"\r\n", content)
    lines = re.sub(rb"(?m)^\.", b"..", lines)
    return lines if lines.endswith(b"\r\n") else lines + b"\r\n"


def _may_pass(error: Exception) -> bool:
    """Whether another try may go better: a 4xx, or a line that broke."""
    if isinstance(error, ssl.SSLError | smtplib.SMTPNotSupportedError):
        return False
    if isinstance(error, smtplib.SMTPResponseException):
        return 400 <= error.smtp_code < 500
    return True


def _told(error: Exception) -> str:
    if isinstance(error, smtplib.SMTPResponseException):
        said = error.smtp_error
        words = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
        return f"{error.smtp_code} {words}"
    return str(error) or type(error).__name__


def _place() -> Path:
    from platformdirs import user_config_path

    named = os.environ.get(VARIABLE)
    return (
        Path(named)
        if named
        else user_config_path("pourtable", appauthor=False) / "mail.toml"
    )
