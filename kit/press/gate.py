"""The last look at a finished file: nothing leaves that its reader may not read."""

from __future__ import annotations

import getpass
import re
import socket
import tempfile
import unicodedata
from collections.abc import Iterable, Iterator
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pikepdf

from kit.errors import PaperError
from kit.press.fields import is_empty_field
from kit.press.reading import every_string, page_text

if TYPE_CHECKING:
    from kit.press.manuscript import Manuscript

# fmt: off
ACTIVE_KEYS = frozenset((
        "/JS", "/JavaScript", "/EmbeddedFiles", "/EmbeddedFile", "/AF", "/AA",
        "/OpenAction", "/Launch", "/AcroForm", "/RichMedia", "/XFA", "/Encrypt",
))
INFO_KEYS = frozenset((
        "/Title", "/Author", "/Keywords", "/CreationDate", "/ModDate", "/Creator",
))
XMP_NAMES = frozenset((
        "dc:title", "dc:creator", "dc:language", "dc:format", "pdf:Keywords",
        "pdf:PDFVersion", "xmp:CreateDate", "xmp:ModifyDate", "xmp:CreatorTool",
        "xmpTPg:NPages", "pdfaid:part", "pdfaid:conformance", "pdfuaid:part",
        "xmpMM:DocumentID", "xmpMM:InstanceID", "xmpMM:RenditionClass", "xmpMM:History",
        "stEvt:action", "stEvt:when", "stEvt:instanceID", "stEvt:softwareAgent",
        "pdfaExtension:schemas", "pdfaSchema:schema", "pdfaSchema:namespaceURI",
        "pdfaSchema:prefix", "pdfaSchema:property", "pdfaProperty:category",
        "pdfaProperty:description", "pdfaProperty:name", "pdfaProperty:valueType",
))
# fmt: on
SHORTEST = 4
"""Names of users and machines shorter than this are common words, not traces."""

UNWRITTEN = (".jpg", ".png", ".ttf")
"""Files of a manuscript that hold no words."""


def check_release(
    pdf: bytes,
    manuscript: Manuscript,
    *,
    title: str,
    author: str,
    withheld: Iterable[str] = (),
) -> None:
    """Refuse a file that holds more than the paper.

    Parameters
    ----------
    pdf : bytes
    manuscript : Manuscript
        What it was made from; a word that stands there is no trace of a machine.
    title, author : str
        What the file's own description must say.
    withheld : iterable of str
        Texts that may be nowhere in it. A figure is found in any grouping, and
        only as a whole: 234.56 is not in 1,234.56.

    Raises
    ------
    PaperError
        With what was found, never with the withheld text itself.
    """
    if pdf.count(b"%%EOF") != 1:
        raise _refused("later additions to the file", f"{pdf.count(b'%%EOF')} ends of file")
    with pikepdf.open(BytesIO(pdf)) as document:
        _check_parts(document)
        _check_fields(document, manuscript)
        _check_description(document, title=title, author=author)
        said = "\n".join((page_text(document), *every_string(document)))
    spoken, figures = _flat(said), _figures_in(said)
    for words in withheld:
        if _is_figure(words) and _figures_in(words) & figures:
            raise _refused("figure that its reader may not read", "figure withheld")
        if not _is_figure(words) and _flat(words) and _flat(words) in spoken:
            raise _refused("text that its reader may not read", "text withheld")
    files = manuscript.files.items()
    written = [content for name, content in files if not name.endswith(UNWRITTEN)]
    given = _flat(b"\n".join(written).decode())
    for trace in machine_traces():
        if _flat(trace) in spoken and _flat(trace) not in given:
            raise _refused(
                "trace of the machine it was made on", "a path, user or host name"
            )


def machine_traces() -> tuple[str, ...]:
    """Paths and names by which this machine and its user could be known."""
    try:
        user = getpass.getuser()
    except (KeyError, OSError):
        user = ""
    names = (user, socket.gethostname())
    return (
        str(Path.home()),
        tempfile.gettempdir(),
        *(name for name in names if len(name) >= SHORTEST),
    )


def _refused(what: str, found: str) -> PaperError:
    return PaperError("release of the paper", found=found, expected=f"no {what}")


def _check_parts(document: pikepdf.Pdf) -> None:
    for thing in document.objects:
        for part in dictionaries(thing):
            keys = set(part.keys()) & ACTIVE_KEYS
            if part.objgen == document.Root.objgen:
                keys -= {"/AcroForm"}  # is looked at by itself
            if keys or part.get("/S") in ("/JavaScript", "/Launch", "/SubmitForm"):
                raise _refused(
                    "script, form or attachment", ", ".join(sorted(keys)) or "an action"
                )
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image":
            _check_image(thing)


def _check_fields(document: pikepdf.Pdf, manuscript: Manuscript) -> None:
    """A form may hold the empty fields to sign that the paper was made with, no other."""
    form: Any = document.Root.get("/AcroForm", {})
    fields = list(form.get("/Fields", ()))
    known = set(form.keys()) == ({"/Fields", "/SigFlags"} if manuscript.fields else set())
    if not known or not all(map(is_empty_field, fields)):
        raise _refused("script, form or attachment", "a form of another kind")
    if {str(field.T): str(field.TU) for field in fields} != dict(manuscript.fields):
        raise _refused("other fields than its own to sign", f"{len(fields)} fields")


def _check_image(image: pikepdf.Stream) -> None:
    if image.get("/Filter") != "/DCTDecode":
        return
    for marker in jpeg_markers(image.read_raw_bytes()):
        if marker in (0xE1, 0xED, 0xFE):
            raise _refused("description inside a picture", f"a JPEG segment {marker:02X}")


def jpeg_markers(jpeg: bytes) -> Iterator[int]:
    """Markers of a JPEG's segments before its pixels."""
    at = 2
    while at + 4 <= len(jpeg) and jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        yield jpeg[at + 1]
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")


def _check_description(document: pikepdf.Pdf, *, title: str, author: str) -> None:
    info = document.docinfo
    more = sorted(set(info.keys()) - INFO_KEYS)
    if more:
        raise _refused("unknown description", ", ".join(more))
    for key, expected in (("/Title", title), ("/Author", author)):
        if str(info.get(key, "")) != expected:
            raise _refused("other description than its own", f"{key} {info.get(key)}")
    xmp = document.Root.Metadata.read_bytes().decode()
    more = sorted(set(re.findall(r"<((?!rdf:|x:)\w+:\w+)[ >/]", xmp)) - XMP_NAMES)
    if more:
        raise _refused("unknown description", ", ".join(more))


def dictionaries(thing: Any) -> Iterator[Any]:
    """All dictionaries inside one object; other objects are met on their own."""
    if isinstance(thing, pikepdf.Array):
        inner = list(thing)
    elif isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        yield thing
        inner = [thing[key] for key in thing.keys()]  # noqa: SIM118
    else:
        return
    for part in inner:
        if isinstance(part, pikepdf.Object) and not part.is_indirect:
            yield from dictionaries(part)


def _is_figure(words: str) -> bool:
    return re.fullmatch(r"\d[\d,]*(\.\d+)?", words) is not None


def _figures_in(text: str) -> set[str]:
    """Whole figures in a text, as 1234.56, however their digits are grouped."""
    joined = re.sub(r"(?<=\d)[^\S\n](?=\d)", "", text)
    found = re.findall(r"\d[\d,]*(?:\.\d+)?", f"{text}\n{joined}")
    decimal_commas = re.findall(r"(?<![\d.,])\d[\d.]*,\d\d(?![\d.,])", f"{text}\n{joined}")
    return {figure.replace(",", "") for figure in found} | {
        figure.replace(".", "").replace(",", ".") for figure in decimal_commas
    }


def _flat(text: str) -> str:
    """One spelling for comparison: lower case, without spaces, breaks or soft hyphens."""
    composed = unicodedata.normalize("NFKC", text).casefold()
    return re.sub(r"[\s\u00ad\u200b]+", "", composed)
