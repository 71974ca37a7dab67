"""A page of pictures with the words below them, as a photographer lays a shoot out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

    from kit.look.picture import Picture

WIDE_PX = 2400
EDGE_PX, GUTTER_PX, BELOW_PX, BETWEEN_PX = 96, 24, 52, 44
"""Edge of the page, space beside a picture, below it for its words, between groups."""
HEAD_PX, GROUP_PX = 130, 58
PAPER, INK, QUIET, HAIRLINE = "#f6f4ef", "#22201c", "#6d675d", "#cfc9bd"
LONGEST_ROW = 5
_REGULAR, _STRONG = 400, 600


@dataclass(frozen=True, eq=False)
class Group:
    """Pictures that belong together: a title, and each picture with its words."""

    title: str
    pictures: tuple[tuple[str, Picture], ...]

    @property
    def columns(self) -> int:
        """Pictures in a row: three, or five where there are ten."""
        return LONGEST_ROW if len(self.pictures) % LONGEST_ROW == 0 else 3

    def in_rows(self) -> list[tuple[tuple[str, Picture], ...]]:
        """Cut into rows; where a row holds five, pairs stand below each other."""
        rows = -(-len(self.pictures) // self.columns)
        if self.columns == LONGEST_ROW:
            return [self.pictures[row::rows] for row in range(rows)]
        return [
            self.pictures[row * self.columns : (row + 1) * self.columns]
            for row in range(rows)
        ]


def contact_sheet(title: str, groups: list[Group]) -> Picture:
    """Lay groups of pictures out on one page.

    Parameters
    ----------
    title : str
        Head of the page.
    groups : list of Group
        From the top down; all pictures of one shape.
    """
    from PIL import Image, ImageDraw

    from kit.look.picture import Picture

    tall = HEAD_PX + EDGE_PX + sum(_tall(group) for group in groups)
    page = Image.new("RGB", (WIDE_PX, tall), PAPER)
    pen = ImageDraw.Draw(page)
    pen.text((EDGE_PX, EDGE_PX), title, INK, _font(44, _STRONG), anchor="ls")
    top = HEAD_PX
    for group in groups:
        _lay(page, pen, group, top)
        top += _tall(group)
    return Picture(np.asarray(page))


def _lay(page: Image.Image, pen: ImageDraw.ImageDraw, group: Group, top: int) -> None:
    from PIL import Image

    pen.line([(EDGE_PX, top), (WIDE_PX - EDGE_PX, top)], HAIRLINE, 2)
    pen.text((EDGE_PX, top + 42), group.title, INK, _font(28, _STRONG), anchor="ls")
    wide, high = _frame(group)
    for row, pictures in enumerate(group.in_rows()):
        for column, (words, picture) in enumerate(pictures):
            x = EDGE_PX + column * (wide + GUTTER_PX)
            y = top + GROUP_PX + row * (high + BELOW_PX)
            small = Image.fromarray(picture.rgb).resize(
                (wide, high), Image.Resampling.LANCZOS
            )
            page.paste(small, (x, y))
            pen.text((x, y + high + 30), words, QUIET, _font(22, _REGULAR), anchor="ls")


def _tall(group: Group) -> int:
    _, high = _frame(group)
    return GROUP_PX + len(group.in_rows()) * (high + BELOW_PX) + BETWEEN_PX


def _frame(group: Group) -> tuple[int, int]:
    """Width and height of each picture on the page."""
    wide = (WIDE_PX - 2 * EDGE_PX - (group.columns - 1) * GUTTER_PX) // group.columns
    width, height = group.pictures[0][1].size_px
    return wide, round(wide * height / width)


@cache
def _font(size_px: int, weight: int) -> ImageFont.FreeTypeFont:
    from PIL import ImageFont

    from kit.press.faces import folders

    (path,) = (p for p in folders()[0].glob("*.ttf") if "Italic" not in p.name)
    font = ImageFont.truetype(str(path), size_px)
    font.set_variation_by_axes(
        [
            float(weight if axis["name"] == b"Weight" else axis["default"] or 0)
            for axis in font.get_variation_axes()
        ]
    )
    return font
