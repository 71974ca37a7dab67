"""What a notebook shows: charts in the kit's own style, pictures side by side, tables."""

from __future__ import annotations

import io
import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from html import escape
from typing import TYPE_CHECKING, Any

from kit.bench.page_modules import style
from kit.ink import chart_style

if TYPE_CHECKING:
    from IPython.display import HTML

    from kit.look.picture import Picture

WIDTH_IN = 7.6
"""As wide as a notebook's column beside its prompt on a small laptop. [in]"""
_DOTS_PER_IN, _PIXELS_PER_IN = 192, 96


@cache
def tokens() -> dict[str, str]:
    """Colors of the light theme by name, ``#rrggbb``, as the table's page has them."""
    light = style("theme.css").split("@media", 1)[0]
    return dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", light))


@contextmanager
def chart(
    says: str, *, rows: int = 1, columns: int = 1, height_in: float = 3.0
) -> Iterator[Any]:
    """Draw in the kit's style; what was drawn is shown when the block ends.

    Parameters
    ----------
    says : str
        What the chart shows, for who cannot see it.
    rows, columns : int
        Charts in one figure.
    height_in : float
        Height of the figure, `WIDTH_IN` wide. [in]

    Yields
    ------
    Axes, or an array of them where there are several.
    """
    from IPython.display import display

    with drawing(rows=rows, columns=columns, height_in=height_in) as (axes, png):
        yield axes
        content = png()
    width_px = round(WIDTH_IN * _PIXELS_PER_IN)
    display(_html(_image("png", content, says, f"width:{width_px}px")))  # type: ignore[no-untyped-call]


@contextmanager
def drawing(
    *, rows: int = 1, columns: int = 1, height_in: float = 3.0
) -> Iterator[tuple[Any, Callable[[], bytes]]]:
    """Draw in the kit's style, to be written as a PNG.

    Yields
    ------
    Axes, or an array of them where there are several, and what makes the PNG, to be
    called inside the block.
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(chart_style()):
        figure = Figure(figsize=(WIDTH_IN, height_in), layout="constrained")

        def png() -> bytes:
            stream = io.BytesIO()
            figure.savefig(stream, dpi=_DOTS_PER_IN)
            return stream.getvalue()

        yield figure.subplots(rows, columns), png


def label(
    axes: Any, words: str, at: tuple[float, float], *, off: tuple[float, float] = (8, 0),
    **how: Any,
) -> None:  # fmt: skip
    """Write words beside a place of a chart, `off` points from it."""
    how = {"va": "center", "fontsize": 9, **how}
    axes.annotate(words, at, xytext=off, textcoords="offset points", **how)


def pictures(*shown: tuple[Picture, str]) -> HTML:
    """Pictures of floors side by side, each with a line of words under it."""
    figures = "".join(
        '<figure style="margin:0;flex:1 1 220px;min-width:0">'
        f"{_image('jpeg', picture.jpeg(), says, 'width:100%')}"
        f'<figcaption style="padding-top:4px">{escape(says)}</figcaption></figure>'
        for picture, says in shown
    )
    return _html(f'<div style="display:flex;flex-wrap:wrap;gap:12px">{figures}</div>')


@dataclass(frozen=True)
class Swatch:
    """A cell of a table that is a color, with words beside it."""

    color: str
    says: str = ""

    def __str__(self) -> str:
        return self.says


def table(head: Sequence[str], rows: Iterable[Sequence[object]], *, words: int = 1) -> HTML:
    """Rows under a head; the first `words` columns are words, the others figures.

    Figures get a true minus.
    """
    top = "".join(_cell("th", name, k < words) for k, name in enumerate(head))
    body = "".join(
        f"<tr>{''.join(_cell('td', cell, k < words) for k, cell in enumerate(row))}</tr>"
        for row in rows
    )
    return _html(
        '<table style="font-variant-numeric:tabular-nums;margin:0">'
        f"<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"
    )


def _cell(tag: str, cell: object, is_words: bool) -> str:
    side, text = ("left", str(cell)) if is_words else ("right", str(cell).replace("-", "−"))
    spot = ""
    if isinstance(cell, Swatch):
        spot = (
            '<span style="display:inline-block;width:36px;height:18px;margin-right:8px;'
            f"vertical-align:middle;border:1px solid {tokens()['edge']};"
            f'background:{escape(cell.color)}"></span>'
        )
    return f'<{tag} style="text-align:{side}">{spot}{escape(text)}</{tag}>'


def _image(form: str, content: bytes, says: str, size: str) -> str:
    """An image that carries its words, which Jupyter's own pictures do not."""
    return (
        f'<img alt="{escape(says)}" style="display:block;max-width:100%;{size}" '
        f'src="data:image/{form};base64,{b64encode(content).decode("ascii")}">'
    )


def _html(text: str) -> HTML:
    from IPython.display import HTML

    return HTML(text)  # type: ignore[no-untyped-call]
