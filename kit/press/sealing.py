"""Sealing a finished file with the firm's own key, so that any later change shows.

The seal is a certification signature after ISO 32000-1, 12.8: added to the file without
touching a byte of it, and leaving only the fields to sign open. pyHanko makes it; it
comes with the extra ``seal``.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pikepdf

from kit.errors import PaperError
from kit.press.cleaning import clean_text
from kit.press.manuscript import Manuscript, as_json
from kit.press.setting import drawn_alone

MOST_BYTES = 200_000
EXPECTED = "a key with its certificate in one PKCS #12 file (.p12 or .pfx)"
LONGEST = 80


@dataclass(frozen=True)
class SealKey:
    """A key that was opened.

    Parameters
    ----------
    name : str
        Whose it is, as its certificate says.
    signer : object
        What pyHanko signs with.
    """

    name: str
    signer: Any


def read_seal_key(
    path: Path, passphrase: str, *, now: datetime.datetime | None = None
) -> SealKey:
    """Open the firm's key.

    Parameters
    ----------
    path : Path
        A PKCS #12 file of at most 200,000 bytes.
    passphrase : str
        May be empty.
    now : datetime.datetime, optional
        The moment at which its certificate must be valid.

    Raises
    ------
    PaperError
        If pyHanko is not installed, the file is none or its passphrase is another, the
        certificate has run out, is not valid yet or is not for signing.
    """
    _check_installed()
    from asn1crypto.pkcs12 import Pfx
    from pyhanko.sign.signers import SimpleSigner

    about = f"seal key {path.name}"
    content = _content(path, about)
    try:
        Pfx.load(content, strict=True).native  # noqa: B018
    except (ValueError, TypeError):
        raise PaperError(about, found="something else", expected=EXPECTED) from None
    try:
        signer = SimpleSigner.load_pkcs12_data(
            content, other_certs=(), passphrase=passphrase.encode() or None
        )
    except ValueError:
        raise PaperError(
            f"{about}, passphrase",
            found="one that does not open it" if passphrase else "none",
            expected="the one that the key was made with",
        ) from None
    except AttributeError:  # a file that holds one of the two only
        raise PaperError(about, found="no key in it", expected=EXPECTED) from None
    certificate = signer.signing_cert
    _check_certificate(certificate, about, now or datetime.datetime.now(datetime.UTC))
    named = certificate.subject.native
    name = named.get("common_name") or named.get("organization_name") or "?"
    return SealKey(clean_text(str(name), about=f"{about}, name", limit=LONGEST), signer)


def sealed(pdf: bytes, key: SealKey, *, field: str, lines: tuple[str, ...]) -> bytes:
    """Seal a finished file.

    Parameters
    ----------
    pdf : bytes
    key : SealKey
    field : str
        The empty field that the seal goes into. A file that has no such field gets one
        that is not seen.
    lines : tuple of str
        What is seen of the seal in its field.

    Returns
    -------
    bytes
        The file as it was, with the seal after it; other bytes each time.

    Raises
    ------
    PaperError
        If it cannot be sealed.
    """
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.pdf_utils.layout import AxisAlignment, Margins, SimpleBoxLayoutRule
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.sign import PdfSignatureMetadata, PdfSigner
    from pyhanko.sign.fields import MDPPerm, SigFieldSpec
    from pyhanko.stamp import StaticStampStyle

    about = PdfSignatureMetadata(
        field_name=field, certify=True, docmdp_permissions=MDPPerm.FILL_FORMS
    )
    low = AxisAlignment.ALIGN_MIN
    whole = SimpleBoxLayoutRule(x_align=low, y_align=low, margins=Margins(0, 0, 0, 0))
    room = _room(pdf, field)
    with TemporaryDirectory(prefix="seal-") as folder:
        style = None
        if room is not None:
            seen = Path(folder) / "seal.pdf"
            seen.write_bytes(_seen(*room, lines))
            style = StaticStampStyle.from_pdf_file(
                str(seen), border_width=0, background_layout=whole
            )
        signer = PdfSigner(
            about,
            signer=key.signer,
            stamp_style=style,
            new_field_spec=SigFieldSpec(field) if room is None else None,
        )
        try:
            out = signer.sign_pdf(
                IncrementalPdfFileWriter(BytesIO(pdf)), existing_fields_only=bool(room)
            )
        except (PdfError, ValueError) as error:
            raise PaperError("seal", found=str(error), expected="a seal") from None
    return bytes(out.getvalue())


def _check_installed() -> None:
    try:
        import pyhanko  # noqa: F401
    except ModuleNotFoundError:
        raise PaperError(
            "seal",
            found="pyHanko is not installed",
            expected='what this brings: python -m pip install "pourtable[seal]"',
        ) from None


def _content(path: Path, about: str) -> bytes:
    try:
        content = path.expanduser().read_bytes()
    except OSError as error:
        raise PaperError(about, found=error.strerror, expected=EXPECTED) from None
    if len(content) > MOST_BYTES:
        found = f"{len(content):,} bytes"
        raise PaperError(about, found=found, expected=f"at most {MOST_BYTES:,}")
    return content


def _check_certificate(certificate: Any, about: str, now: datetime.datetime) -> None:
    begins, ends = certificate.not_valid_before, certificate.not_valid_after
    if not begins <= now <= ends:
        found = f"one that {'ran out' if now > ends else 'begins'} on "
        found += f"{ends if now > ends else begins:%Y-%m-%d}"
        raise PaperError(
            f"{about}, certificate", found=found, expected="one that is valid now"
        )
    usage = certificate.key_usage_value
    if usage is not None and not usage.native & {"digital_signature", "non_repudiation"}:
        found = "one for " + ", ".join(sorted(usage.native)).replace("_", " ")
        raise PaperError(f"{about}, certificate", found=found, expected="one to sign with")


def _room(pdf: bytes, name: str) -> tuple[float, float] | None:
    """Width and height of an empty field; None if there is none. [pt]"""
    with pikepdf.open(BytesIO(pdf)) as document:
        form: Any = document.Root.get("/AcroForm", {})
        for field in form.get("/Fields", ()):
            if field.get("/T") == name and "/V" not in field:
                left, low, right, high = map(float, field.Rect)
                return right - left, high - low
    return None


def _seen(wide_pt: float, tall_pt: float, lines: tuple[str, ...]) -> bytes:
    """A small page with the words of a seal, its type in it."""
    source = Path(__file__).with_name("seal.typ").read_bytes()
    facts = {"wide": wide_pt, "tall": tall_pt, "lines": lines}
    return drawn_alone(Manuscript({"main.typ": source, "seal.json": as_json(facts)}))
