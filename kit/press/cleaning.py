"""Text and pictures made fit for print, before a template sees them."""

from __future__ import annotations

import re
import unicodedata
import warnings
from io import BytesIO

from PIL import Image, ImageOps

from kit.errors import PaperError
from kit.press.faces import printable
from kit.press.page import Picture
from kit.press.showing import PartT, rewritten

MOST_PIXELS = 60_000_000
KEPT = "\u00a0\u202f\u00ad"
"""No-break spaces and the soft hyphen: not seen, yet they set the line."""


def cleaned(view: PartT) -> PartT:
    """Return a view whose every text can be printed as it is meant.

    Raises
    ------
    PaperError
        If a text is longer than its field allows, or needs a character that
        our typefaces lack; the field and the character are named.
    """
    return rewritten(
        view, lambda where, text, limit: clean_text(text, about=where, limit=limit)
    )


def clean_text(given: str, *, about: str, limit: int) -> str:
    """Compose, drop what cannot be seen, and refuse what cannot be printed.

    Control characters, lone surrogates, private and unassigned code points and
    every bidirectional or other format control go; white space becomes one
    space, so that a line stays a line.
    """
    words = _seen(given)
    if len(words) > limit:
        found = f"{len(words):,} characters, beginning {words[:20]!r}"
        raise PaperError(about, found=found, expected=f"at most {limit}")
    if letter := unprintable(words):
        expected = "characters that the paper's typefaces have"
        raise PaperError(about, found=letter, expected=expected)
    return words


def unprintable(text: str) -> str | None:
    """Name the first character that neither typeface of the paper has, or None.

    >>> unprintable("Fox & Sons, Łódź"), unprintable("Fox 🦊")
    (None, '🦊 (U+1F98A FOX FACE)')
    """
    for letter in _seen(text):
        if ord(letter) not in printable():
            name = unicodedata.name(letter, "a character without a name")
            return f"{letter} (U+{ord(letter):04X} {name})"
    return None


def printed_jpeg(picture: Picture, *, about: str) -> tuple[bytes, tuple[int, int]]:
    """Decode a picture, cut it, and encode it afresh: baseline JPEG, pixels only.

    Returns
    -------
    bytes, (int, int)
        JPEG without EXIF, ICC or comments, and its width and height. [px]

    Raises
    ------
    PaperError
        If it is no picture, is cut short, or is too large.
    """
    image = opened(picture, about=about)
    image = on_white(image)
    left, top, right, bottom = picture.crop
    width, height = image.size
    box = (
        round(left * width),
        round(top * height),
        round(right * width),
        round(bottom * height),
    )
    if box != (0, 0, width, height):
        image = image.crop(box)
    if image.width > picture.widest_px:
        height = max(1, round(image.height * picture.widest_px / image.width))
        image = image.resize((picture.widest_px, height), Image.Resampling.LANCZOS)
    fresh = Image.new("RGB", image.size)
    fresh.paste(image)
    out = BytesIO()
    fresh.save(out, "JPEG", quality=88, optimize=True)
    return out.getvalue(), fresh.size


def opened(picture: Picture, *, about: str) -> Image.Image:
    """Decode a picture, upright, or say why it cannot be."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image: Image.Image = Image.open(BytesIO(picture.image), formats=("JPEG", "PNG"))
        if image.width * image.height > MOST_PIXELS:
            found = f"{image.width} x {image.height} pixels"
            raise PaperError(about, found=found, expected=f"at most {MOST_PIXELS:,}")
        image.load()
        return ImageOps.exif_transpose(image)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        found = type(error).__name__
        raise PaperError(about, found=found, expected="a whole JPEG or PNG") from error


def _seen(given: str) -> str:
    composed = unicodedata.normalize("NFC", given)
    seen = "".join(
        c if c in KEPT else " " if c.isspace() else c for c in composed if _is_seen(c)
    )
    return re.sub(" +", " ", seen).strip(" ")


def _is_seen(letter: str) -> bool:
    return letter in KEPT or letter.isspace() or unicodedata.category(letter)[0] != "C"


def on_white(image: Image.Image) -> Image.Image:
    """A picture in RGB; what can be seen through shows white."""
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        seen = image.convert("RGBA")
        ground = Image.new("RGBA", seen.size, "white")
        return Image.alpha_composite(ground, seen).convert("RGB")
    return image.convert("RGB")
