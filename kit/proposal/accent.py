"""One accent from the floor's own colours, dark enough to read.

Contrast is that of [WCAG22]_: relative luminance of linear sRGB, and the ratio
of the lighter plus 0.05 to the darker plus 0.05.
"""

from __future__ import annotations

from collections.abc import Iterable

Srgb = tuple[int, int, int]

WHITE: Srgb = (255, 255, 255)
READABLE = 4.5
"""Least contrast of body text, [WCAG22]_ criterion 1.4.3."""


def relative_luminance(colour: Srgb) -> float:
    """Relative luminance of an 8-bit sRGB colour, in [0, 1] ([WCAG22]_)."""
    red, green, blue = (_linear(channel / 255) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Srgb, other: Srgb) -> float:
    """Contrast of two colours, from 1 to 21 ([WCAG22]_).

    >>> round(contrast((119, 119, 119), (255, 255, 255)), 4)
    4.4781
    """
    lighter, darker = sorted(
        (relative_luminance(one), relative_luminance(other)), reverse=True
    )
    return (lighter + 0.05) / (darker + 0.05)


def accent_of(colours: Iterable[Srgb]) -> Srgb:
    """Choose the most colourful of the floor's colours; black if it has none.

    Colourfulness is the spread of the channels of the encoded colour, so a dark
    blue does not lose to a pale one for being dark.
    """
    return max(colours, key=lambda c: (max(c) - min(c), c), default=(0, 0, 0))


def darkened(colour: Srgb, *, ground: Srgb = WHITE, least: float = READABLE) -> Srgb:
    """Darken a colour in equal steps, keeping its hue, until it reads on `ground`.

    Parameters
    ----------
    colour, ground : tuple of int
        sRGB, 0 to 255.
    least : float
        Contrast to reach, 1 to 21.
    """
    for keep in range(256, -1, -1):
        red, green, blue = (channel * keep // 256 for channel in colour)
        if contrast((red, green, blue), ground) >= least:
            return red, green, blue
    return 0, 0, 0


def hexadecimal(colour: Srgb) -> str:
    """Write a colour as ``#rrggbb``."""
    return "#{:02x}{:02x}{:02x}".format(*colour)


def _linear(encoded: float) -> float:
    return encoded / 12.92 if encoded <= 0.04045 else ((encoded + 0.055) / 1.055) ** 2.4
