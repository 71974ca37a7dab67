"""PNG a band of rows at a time, so that a picture need never be held whole."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_EIGHT_BIT_RGB = (8, 2, 0, 0, 0)
_UP = 2
_LEVEL = 4
"""Effort of the packing; higher ones gain little on a floor."""


def png_pieces(
    width_px: int, height_px: int, bands: Iterable[NDArray[np.uint8]]
) -> Iterator[bytes]:
    """Encode a picture whose rows come in bands; pieces of the file, in order, [PNG]_.

    Parameters
    ----------
    width_px, height_px : int
        Of the whole picture.
    bands : iterable of (H, W, 3) uint8 arrays
        sRGB, top first; together `height_px` rows.

    Yields
    ------
    bytes
        Every row is told by how it differs from the one above it.
    """
    yield _SIGNATURE
    yield _chunk(b"IHDR", struct.pack(">IIBBBBB", width_px, height_px, *_EIGHT_BIT_RGB))
    press = zlib.compressobj(_LEVEL, zlib.DEFLATED, 15, 9, zlib.Z_FILTERED)
    above = np.zeros((1, 3 * width_px), dtype=np.uint8)
    for band in bands:
        rows = band.reshape(-1, 3 * width_px)
        told = np.full((len(rows), 1 + 3 * width_px), _UP, dtype=np.uint8)
        np.subtract(rows, np.concatenate([above, rows[:-1]]), out=told[:, 1:])
        above = rows[-1:].copy()
        if packed := press.compress(told.data):
            yield _chunk(b"IDAT", packed)
    yield _chunk(b"IDAT", press.flush())
    yield _chunk(b"IEND", b"")


def _chunk(kind: bytes, content: bytes) -> bytes:
    """Length, kind, content and check sum, [PNG]_ 5.3."""
    check = zlib.crc32(content, zlib.crc32(kind))
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)
