"""One accent from the floor's own colours, dark enough to read."""

from __future__ import annotations

from collections.abc import Iterable

from kit.look.colour import contrast

Srgb = tuple[int, int, int]

WHITE: Srgb = (255, 255, 255)
READABLE = 4.5
"""Least contrast of body text, [WCAG22]_ criterion 1.4.3."""


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
    behind = hexadecimal(ground)
    for keep in range(256, -1, -1):
        red, green, blue = (channel * keep // 256 for channel in colour)
        if contrast(hexadecimal((red, green, blue)), behind) >= least:
            return red, green, blue
    return 0, 0, 0


def hexadecimal(colour: Srgb) -> str:
    """Write a colour as ``#rrggbb``."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
