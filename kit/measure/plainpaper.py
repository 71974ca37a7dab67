"""The proposal's words and pictures, set plainly by other typesetters beside ours.

What a peer is given is ready: words as they are printed, pictures cut and encoded. It
draws no plan and looks for nothing that must not leave, so that it is not made slower than
it need be. WeasyPrint tags its paper for PDF/UA as ours is tagged; ReportLab cannot.
"""

from __future__ import annotations

import base64
import html
import io
import pickle
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.press.faces import SANS, SERIF, folders
from kit.press.page import LETTER, SIDE_PT
from kit.proposal.shots import PX_PER_IN

if TYPE_CHECKING:
    from kit.measure.timing import Work
    from kit.proposal.shown import ClientView

WIDEST_PT = 300.0
"""Widest that a picture is set; all of it then takes as many pages as ours. [pt]"""
_DRAWN = {"shapes", "strokes", "labels"}
"""What a drawing holds, and no words to read."""


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    said: str


@dataclass(frozen=True)
class Rows:
    """A table of words, all rows of one length."""

    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Shot:
    """An encoded picture and its size as printed. [pt]"""

    jpeg: bytes
    alt: str
    wide_pt: float
    tall_pt: float


Part = Words | Rows | Shot
Parts = tuple[Part, ...]


def parts_of(view: ClientView) -> Parts:
    """Read what a view says, each thing once, its pictures encoded as for the press."""
    from kit.press.cleaning import cleaned
    from kit.press.manuscript import plain

    files: dict[str, bytes] = {}
    told = plain(cleaned(view), files, about="view")
    return tuple(part for value in told.values() for part in _parts(value, files))


def _parts(told: Any, files: dict[str, bytes]) -> Iterator[Part]:
    match told:
        case str() if told.strip():
            yield Words(told)
        case {"file": str(name), "alt": alt, "width": width, "height": height}:
            wide = min(width / PX_PER_IN * 72.0, WIDEST_PT)
            yield Shot(files[name[1:]], alt, wide, wide * height / width)
        case dict() if not _DRAWN & told.keys():
            for value in told.values():
                yield from _parts(value, files)
        case [dict(), *_] if all(_is_row(one, told[0].keys()) for one in told):
            said = (tuple(filter(_is_said, one.values())) for one in told)
            yield Rows(tuple(said))
        case list():
            for value in told:
                yield from _parts(value, files)


def _is_row(one: Any, keys: Any) -> bool:
    return (
        isinstance(one, dict)
        and one.keys() == keys
        and all(isinstance(said, str | bool) for said in one.values())
    )


def _is_said(value: Any) -> bool:
    return isinstance(value, str)


def in_reportlab(parts: Parts) -> Work:
    """Set them by ReportLab's flowing layout, in our faces."""
    # nothing is installed that tells mypy of it
    from reportlab.lib.styles import (  # type: ignore[import-untyped,import-not-found,unused-ignore]
        ParagraphStyle,
    )
    from reportlab.pdfbase import (  # type: ignore[import-untyped,import-not-found,unused-ignore]
        pdfmetrics,
        ttfonts,
    )
    from reportlab.platypus import (  # type: ignore[import-untyped,import-not-found,unused-ignore]
        Image,
        Paragraph,
        SimpleDocTemplate,
        Table,
    )

    for name, path in _faces():
        pdfmetrics.registerFont(ttfonts.TTFont(name, str(path)))
    cell = ParagraphStyle("cell", fontName=SANS, fontSize=9, leading=12)
    prose = ParagraphStyle("prose", fontName=SERIF, fontSize=10.5, leading=14)

    def flowing(part: Part) -> Any:
        match part:
            case Words(said):
                return Paragraph(html.escape(said), prose)
            case Rows(rows):
                return Table(
                    [[Paragraph(html.escape(c), cell) for c in row] for row in rows]
                )
            case Shot(jpeg, _, wide, tall):
                return Image(io.BytesIO(jpeg), wide, tall)

    def pressed() -> bytes:
        out = io.BytesIO()
        margins = ("leftMargin", "rightMargin", "topMargin", "bottomMargin")
        size = (LETTER.width_pt, LETTER.height_pt)
        paper = SimpleDocTemplate(out, pagesize=size, **dict.fromkeys(margins, SIDE_PT))
        paper.build([flowing(part) for part in parts])
        return out.getvalue()

    return pressed


def cold_weasyprint(parts: Parts, folder: Path) -> str:
    """Code that sets them by WeasyPrint from one file in `folder`, in our faces."""
    page = folder / "paper.html"
    page.write_text(_as_html(parts), encoding="utf-8")
    setting = f"HTML({str(page)!r}).write_pdf(pdf_variant='pdf/ua-1')"
    return f"from weasyprint import HTML\n{setting}"


def cold_proposal(view: ClientView, folder: Path) -> str:
    """Code that presses a view from one file in `folder`."""
    kept = folder / "view.pickle"
    kept.write_bytes(pickle.dumps(view))
    return (
        "import pathlib, pickle; from kit.proposal import propose\n"
        f"propose(pickle.loads(pathlib.Path({str(kept)!r}).read_bytes()))"
    )


def _as_html(parts: Parts) -> str:
    faces = "".join(
        f'@font-face {{ font-family: "{name}"; src: url("{path.as_uri()}") }}'
        for name, path in _faces()
    )
    style = (
        f"{faces} @page {{ size: letter; margin: {SIDE_PT}pt }}"
        f'body {{ font: 10.5pt "{SERIF}" }} table {{ font-family: "{SANS}" }}'
        "p { margin: 0 } img { display: block }"
    )
    told = "".join(map(_part_as_html, parts))
    head = f"<!doctype html><html lang='en'><title>Proposal</title><style>{style}</style>"
    return f"{head}<body>{told}</body></html>"


def _part_as_html(part: Part) -> str:
    match part:
        case Words(said):
            return f"<p>{html.escape(said)}</p>"
        case Rows(rows):
            lines = "".join(
                f"<tr>{''.join(f'<td>{html.escape(said)}</td>' for said in row)}</tr>"
                for row in rows
            )
            return f"<table>{lines}</table>"
        case Shot(jpeg, alt, wide, tall):
            code = base64.b64encode(jpeg).decode()
            size = f"width: {wide:.2f}pt; height: {tall:.2f}pt"
            given = f"alt='{html.escape(alt)}' style='{size}'"
            return f"<img {given} src='data:image/jpeg;base64,{code}'>"


def _faces() -> tuple[tuple[str, Path], ...]:
    """Name and upright file of each of our faces."""
    return tuple(
        (name, next(path for path in folder.glob("*.ttf") if "Italic" not in path.name))
        for name, folder in zip((SANS, SERIF), folders(), strict=True)
    )
