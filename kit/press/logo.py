"""A firm's logo made fit for print: pixels on white and nothing else, or plain shapes."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from io import BytesIO
from pathlib import Path

from PIL import Image

from kit.errors import PaperError
from kit.press.cleaning import on_white, opened
from kit.press.page import Logo, Picture

MOST_BYTES = 20_000_000
MOST_SVG_BYTES = 500_000
WIDEST_PX = 900
"""Three inches at 300 pixels per inch; a logo is printed narrower."""
LONGEST = 20.0
"""Most that one side of a logo may be of the other."""
DRAWN = frozenset((
    *("svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon"),
    *("defs", "linearGradient", "radialGradient", "stop", "clipPath", "title", "desc"),
    *("metadata", "use", "symbol", "style"),
))  # fmt: skip
"""Elements of an SVG that draw plain shapes, or say what they are."""


def read_logo(path: Path, *, alt: str) -> Logo:
    """Read a logo from a PNG, JPEG or SVG file.

    Parameters
    ----------
    path : Path
    alt : str
        What stands for it where it cannot be seen.

    Raises
    ------
    PaperError
        If it cannot be read, is cut short, too large or too long, or if an SVG holds
        more than shapes: text that needs a font, a script, or a link. The file is named
        without its folder.
    """
    about = f"firm, logo {path.name}"
    try:
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise PaperError(about, found=found, expected="a PNG, JPEG or SVG file") from None
    if len(content) > MOST_BYTES:
        found = f"{len(content):,} bytes"
        raise PaperError(about, found=found, expected=f"at most {MOST_BYTES:,}")
    if content.lstrip()[:5].lower() in (b"<?xml", b"<svg ", b"<svg>", b"<!doc", b"<!-- "):
        return _shapes(content, alt, about)
    return _pixels(content, alt, about)


def _pixels(content: bytes, alt: str, about: str) -> Logo:
    image = on_white(opened(Picture(content, alt), about=about))
    _check_sides(*image.size, about)
    image.thumbnail((WIDEST_PX, WIDEST_PX), Image.Resampling.LANCZOS)
    fresh = Image.new("RGB", image.size)
    fresh.paste(image)
    out = BytesIO()
    fresh.save(out, "PNG", optimize=True)
    return Logo(out.getvalue(), "png", alt, fresh.width / fresh.height)


def _shapes(content: bytes, alt: str, about: str) -> Logo:
    expected = "shapes only: text as paths, no picture, script or link"
    if len(content) > MOST_SVG_BYTES:
        found = f"{len(content):,} bytes"
        raise PaperError(about, found=found, expected=f"at most {MOST_SVG_BYTES:,}")
    if b"<!ENTITY" in content or re.search(rb"<!DOCTYPE[^>]*\[", content):
        raise PaperError(about, found="declarations in it", expected=expected)
    content = re.sub(rb"<!DOCTYPE[^>]*>", b"", content, count=1)
    try:
        root = ET.fromstring(content)
    except (ET.ParseError, ValueError) as error:
        raise PaperError(about, found=f"no SVG ({error})", expected=expected) from None
    for element in root.iter():
        name = str(element.tag).rpartition("}")[2]
        if name not in DRAWN and _namespace(element.tag) in ("", SVG):
            raise PaperError(about, found=f"<{name}> in it", expected=expected)
        for key, value in element.attrib.items():
            if key.rpartition("}")[2] == "href" and not value.startswith("#"):
                raise PaperError(about, found="a link in it", expected=expected)
    if b"url(" in re.sub(rb"url\(\s*['\"]?#", b"", content) or b"@import" in content:
        raise PaperError(about, found="a link in it", expected=expected)
    wide, high = _size(root, about)
    _check_sides(wide, high, about)
    return Logo(content, "svg", alt, wide / high)


SVG = "http://www.w3.org/2000/svg"


def _namespace(tag: object) -> str:
    return str(tag)[1:].partition("}")[0] if str(tag).startswith("{") else ""


def _size(root: ET.Element, about: str) -> tuple[float, float]:
    box = re.findall(r"-?\d*\.?\d+(?:e-?\d+)?", root.get("viewBox", ""))
    sides = box[2:] if len(box) == 4 else [
        re.sub(r"[^\d.]", "", root.get(side, "")) for side in ("width", "height")
    ]  # fmt: skip
    try:
        wide, high = (float(side) for side in sides)
    except ValueError:
        expected = "a viewBox, or a width and a height"
        raise PaperError(about, found="no size", expected=expected) from None
    return wide, high


def _check_sides(wide: float, high: float, about: str) -> None:
    if not (wide > 0 and high > 0 and 1 / LONGEST <= wide / high <= LONGEST):
        raise PaperError(
            about,
            found=f"{wide:g} x {high:g}",
            expected=f"a side at most {LONGEST:g} times the other",
        )
