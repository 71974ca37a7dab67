"""A finished picture: eight-bit sRGB, encoded and saved whole or not at all."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.errors import PictureError
from kit.writing import write_file

LEAST_PX = 16
MOST_PX = 120_000_000
"""Most pixels of one picture; at about 100 bytes a pixel this fits 12 GB."""
MOST_JPEG_PX = 65_500
"""Most pixels of a side that the usual JPEG library writes."""
MOST_BANDED_PX = 400_000_000
"""Most pixels of a picture made and written a band at a time: a print of 100 inches at 200
dots an inch."""


@dataclass(frozen=True, eq=False)
class Picture:
    """Pixels as a screen shows them.

    Parameters
    ----------
    rgb : (H, W, 3) uint8 array
        sRGB, top row first.
    """

    rgb: NDArray[np.uint8]

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.rgb.shape[1], self.rgb.shape[0]

    def png(self, *, dpi: float | None = None) -> bytes:
        """Encode without loss: pixels and, if asked, their density, nothing else."""
        return self._encoded("png", {"compress_level": 6}, dpi)

    def jpeg(self, quality: int = 88, *, dpi: float | None = None) -> bytes:
        """Encode for a screen or a page.

        Raises
        ------
        PictureError
            If quality is not between 1 and 95, or a side is longer than JPEG can tell.
        """
        if not 1 <= quality <= 95:
            raise PictureError("JPEG quality", found=quality, expected="1 to 95")
        if max(self.size_px) > MOST_JPEG_PX:
            raise PictureError(
                "picture size",
                found=f"{max(self.size_px)} pixels along a side",
                expected=f"at most {MOST_JPEG_PX} in a JPEG; a PNG can be larger",
            )
        return self._encoded("jpg", {"quality": int(quality), "subsampling": 0}, dpi)

    def _encoded(self, form: str, how: dict[str, int], dpi: float | None) -> bytes:
        from PIL import Image

        options: dict[str, Any] = dict(how)
        if dpi is not None:
            if not (math.isfinite(dpi) and 1 <= dpi <= 2400):
                raise PictureError("dots per inch", found=dpi, expected="1 to 2400")
            options["dpi"] = (dpi, dpi)
        stream = _Named(f"picture.{form}")
        Image.fromarray(self.rgb).save(stream, **options)
        return stream.getvalue()

    def save(self, path: str | Path, *, dpi: float | None = None) -> Path:
        """Write a .png or .jpg; an interrupted write leaves the old file as it was.

        Raises
        ------
        PictureError
            If the ending is neither.
        OutputError
            If the folder or file cannot be written.
        """
        target = Path(path)
        ending = target.suffix.lower()
        if ending not in (".png", ".jpg", ".jpeg"):
            raise PictureError(
                "picture file", found=target.name, expected="a name ending .png or .jpg"
            )
        content = self.png(dpi=dpi) if ending == ".png" else self.jpeg(dpi=dpi)
        return write_file(target, content)


class _Named(io.BytesIO):
    """Bytes with a file's name, from which Pillow loads what writes such files alone."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name


def checked_size(
    width_px: object, height_px: object, samples: object = 1, *, most_px: int = MOST_PX
) -> None:
    """Refuse sizes that cannot be drawn.

    Raises
    ------
    PictureError
        Naming the field and its limit.
    """
    for name, value in (("width", width_px), ("height", height_px)):
        if isinstance(value, bool) or not isinstance(value, int | np.integer):
            raise PictureError(
                f"picture {name}", found=value, expected="a whole number of pixels"
            )
        if value < LEAST_PX:
            raise PictureError(
                f"picture {name}", found=value, expected=f"{LEAST_PX} pixels or more"
            )
    if isinstance(samples, bool) or samples not in (1, 2, 3, 4):
        raise PictureError("samples", found=samples, expected="1, 2, 3 or 4 a side")
    total = int(width_px) * int(height_px)  # type: ignore[call-overload]
    if total > most_px:
        raise PictureError(
            "picture size",
            found=f"{width_px} x {height_px} = {total / 1e6:.0f} million pixels",
            expected=f"at most {most_px // 1_000_000} million",
        )
