"""What a view keeps, laid out as textures: another machine can shade it by itself.

Every pixel of either view obeys one sum, by colour ::

    light = (sent · B + flop · F + face · M) · through + coat

Sent, face and flop are what film and flakes of the chosen pigments send back
(`strip.paint`, `flakes.sent_later`); the factors are light on the floor;
the coat is what the wear coat mirrors, and everything that is no floor. A screen that
holds these textures needs nothing more for another pigment, finish or light.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from kit.look.above import BODY, AboveView
from kit.look.bare import HELD, MOODS, POWER
from kit.look.colour import BANDS_TO_RGB
from kit.look.compiled import Grid, loop, prange
from kit.look.flakes import FACE_SHARE, FLOP_SHARE, LATER, STRAIGHT, straight_out
from kit.look.kept import light_from_short
from kit.look.mixture import VEIL_WEIGHT, pairs_of
from kit.look.optics import fresnel, fresnel_inside
from kit.look.overhead import MIRROR_STEP
from kit.look.paints import Paints
from kit.look.relief import Grit
from kit.look.strip import FLAKE_SHARE, SHARE, THICK, VEIL, N

Array = NDArray[np.float32]
Shape = Literal["above", "room"]
LARGEST = 65_408.0
"""Most light that nine bits with a shared exponent of five can tell."""


@dataclass(frozen=True, eq=False)
class FilmLayer:
    """The poured film in every pixel: nothing that a pigment, finish or light changes.

    Parameters
    ----------
    build : (H, W, 2) float16 array
        Thickness of film and of veil, in nominal builds.
    shares : tuple of (H, W, 4) float16 arrays
        By pairs of colours, the last colour left out: shares in the film, then in
        the veil.
    """

    build: NDArray[np.float16]
    shares: tuple[NDArray[np.float16], ...]


@dataclass(frozen=True, eq=False)
class LightLayer:
    """Light on the floor of one mood under a coat of one index, see `shared_exponent`.

    From above `mirrored` holds what flakes mirror, what meets them aslant, and what
    walls leave of the light; in a room it is the light that flakes mirror, by colour.

    Parameters
    ----------
    mirrored, even : (H, W) uint32 arrays
        `even` is the light on the body, by colour; from above all zero.
    """

    mirrored: NDArray[np.uint32]
    even: NDArray[np.uint32]


@dataclass(frozen=True, eq=False)
class CoatLayer:
    """What one coat mirrors in one mood, and what else is in the picture.

    Parameters
    ----------
    light : (H, W) uint32 array
        See `shared_exponent`.
    passes : (H, W) uint8 array
        Light that the coat passes, in parts of 255; 0 where there is no floor.
    """

    light: NDArray[np.uint32]
    passes: NDArray[np.uint8]


def film_layer(view: Any) -> FilmLayer:
    """Lay out the film of a view that was taken with one sample a pixel.

    Raises
    ------
    ValueError
        If the view has more samples a pixel than one.
    """
    seen = _seen(view)
    film, pixels = view.strips, seen.floor_pixels
    strips, samples, rows, _ = film.rows.shape
    if samples != 1:
        msg = f"a view with {samples} samples a pixel cannot be laid out, only with one"
        raise ValueError(msg)
    flat = film.rows[:, 0].transpose(1, 0, 2).reshape(rows, strips * N)[:, : len(pixels)]
    width, height = seen.size_px

    def told(row: int, per: float = 1.0) -> NDArray[np.float16]:
        row_told = flat[row].astype(np.float32) * (film.step[row] * per)
        return np.asarray(row_told, dtype=np.float16)

    build = np.zeros((height * width, 2), dtype=np.float16)
    build[pixels, 0], build[pixels, 1] = told(THICK // N), told(VEIL // N, 1 / VEIL_WEIGHT)
    shares = []
    for pair in range(pairs_of(view.colours)):
        one = np.zeros((height * width, 4), dtype=np.float16)
        for place in range(4):
            one[pixels, place] = told(SHARE // N + 4 * pair + place)
        shares.append(one.reshape(height, width, 4))
    return FilmLayer(build.reshape(height, width, 2), tuple(shares))


def light_layer(
    view: Any, paints: Paints, alpha: float, index: float, mood: str
) -> LightLayer:
    """Lay out the light on the floor; in a room, as floors of these paints tint it."""
    if isinstance(view, AboveView):
        return _light_above(view)
    touched = view.touched(paints, alpha, index, mood)
    width, height = view.stood.size_px
    kept = light_from_short(view.under(index, mood))
    pixels, strips = view.stood.floor_pixels, len(kept)
    rows = kept.reshape(strips, 4, 3, N).transpose(1, 0, 3, 2).reshape(4, strips * N, 3)
    mirrored, even = (
        np.ascontiguousarray((rows[i] + touched * rows[i + 1])[: len(pixels)])
        for i in (0, 2)
    )
    return LightLayer(
        _laid(mirrored, pixels, width, height), _laid(even, pixels, width, height)
    )


def coat_layer(
    view: Any, paints: Paints, alpha: float, index: float, grit: Grit, mood: str
) -> CoatLayer:
    """Lay out what a coat of this roughness mirrors; in a room, over these paints."""
    if isinstance(view, AboveView):
        return _coat_above(view, alpha, index, grit, mood)
    touched, here = view.touched(paints, alpha, index, mood), view.stood
    width, height = here.size_px
    light = np.zeros((height * width, 3), dtype=np.float32)
    passes = np.zeros(height * width, dtype=np.uint8)
    rest = light_from_short(here.rest(alpha, index, grit, mood))
    rows = rest.reshape(len(rest), 7, N).transpose(0, 2, 1).reshape(-1, 7)
    pixels, others = here.floor_pixels, here.other_pixels
    rows = rows[: len(pixels)]
    light[pixels] = _weighed(rows, touched)
    passes[pixels] = np.round(255.0 * np.clip(rows[:, 6], 0.0, 1.0)).astype(np.uint8)
    beyond = light_from_short(here.beyond(mood))
    away = beyond.reshape(len(beyond), 6, N).transpose(0, 2, 1).reshape(-1, 6)
    light[others] = _weighed(away[: len(others)], touched)
    everywhere = np.arange(height * width, dtype=np.int32)
    return CoatLayer(_laid(light, everywhere, width, height), passes.reshape(height, width))


def form_of(view: Any, alpha: float, index: float, mood: str) -> dict[str, Any]:
    """The few numbers beside the textures: exposure, contrast, weights, warmth."""
    common = {
        "size": list(_seen(view).size_px),
        "colors": view.colours,
        "flakeShare": FLAKE_SHARE,
        "veilWeight": VEIL_WEIGHT,
        "inside": float(fresnel_inside(index)),
        "straight": straight_out(alpha),
        "atOnce": STRAIGHT,
        "later": LATER,
    }
    if isinstance(view, AboveView):
        warmth, exposure = MOODS[mood]
        through = 1.0 - float(fresnel(1.0, index))
        return common | {
            "shape": "above", "exposure": exposure, "power": POWER, "soft": HELD,
            "warmth": list(warmth), "through": through, "body": BODY, "faceShare": 1.0,
            "flopShare": 1.0,
        }  # fmt: skip
    exposure, power, soft = view.stood.exposure(mood)
    return common | {
        "shape": "room", "exposure": exposure, "power": power, "soft": soft,
        "warmth": [1.0, 1.0, 1.0], "through": 1.0, "body": 1.0, "faceShare": FACE_SHARE,
        "flopShare": FLOP_SHARE,
    }  # fmt: skip


def optics_of(paints: Paints) -> dict[str, Any]:
    """What a screen needs of pigments: K, S, face and flop each, and the way to RGB."""
    return {
        "pigments": [
            {
                "k": _plain(paints.absorption[i]), "s": _plain(paints.scattering[i]),
                "face": _plain(paints.face[i]), "flop": _plain(paints.flop[i]),
            }
            for i in range(paints.count)
        ],
        "toRgb": [_plain(row) for row in BANDS_TO_RGB],
    }  # fmt: skip


def shared_exponent(rgb: Array) -> NDArray[np.uint32]:
    """Pack light (K, 3) >= 0 as three nine-bit numbers under one exponent of five bits.

    Notes
    -----
    The texture format RGB9_E5 of [OpenGLES3]_ section 3.8.3.2; the strongest colour is
    kept to two parts in a thousand, light above `LARGEST` is told as that.
    """
    out = np.empty(len(rgb), dtype=np.uint32)
    _pack(np.ascontiguousarray(rgb, dtype=np.float32), out)
    return out


@loop
def _pack(rgb: Grid, out: Grid) -> None:
    """Fill `out` (K,) from light (K, 3)."""
    for i in prange(len(rgb)):
        red = min(max(rgb[i, 0], 0.0), LARGEST)
        green = min(max(rgb[i, 1], 0.0), LARGEST)
        blue = min(max(rgb[i, 2], 0.0), LARGEST)
        most = max(red, green, blue, 2.0**-16)
        exponent = int(np.floor(np.log2(most))) + 1
        if int(most / 2.0 ** (exponent - 9) + 0.5) == 512:
            exponent += 1
        per = 2.0 ** (9 - exponent)
        r, g, b = int(red * per + 0.5), int(green * per + 0.5), int(blue * per + 0.5)
        out[i] = np.uint32(r | (g << 9) | (b << 18) | ((exponent + 15) << 27))


def _laid(
    light: Array, pixels: NDArray[Any], width: int, height: int
) -> NDArray[np.uint32]:
    """Put light (K, 3) of some pixels into a picture, packed."""
    out = np.zeros(height * width, dtype=np.uint32)
    out[pixels] = shared_exponent(light)
    return out.reshape(height, width)


def _light_above(view: AboveView) -> LightLayer:
    width, height = view.bare.size_px
    pixels = view.bare.pixels
    flakes = view.flakes.rows[:, 0].astype(np.float32) * view.flakes.step[:, None]
    kept = view.bare.light
    light = kept.rows[:, 0].astype(np.float32) * kept.step
    met = np.stack([flakes[:, 0].ravel(), flakes[:, 1].ravel(), light.ravel()], axis=1)
    mirrored = _laid(np.ascontiguousarray(met[: len(pixels)]), pixels, width, height)
    return LightLayer(mirrored, np.zeros_like(mirrored))


def _seen(view: Any) -> Any:
    """What of a view knows its size and which of its pixels show floor."""
    return view.bare if isinstance(view, AboveView) else view.stood


def _weighed(rows: Array, touched: Array) -> Array:
    """Light of rows that never (first three) and that ever touched the floor."""
    total: Array = rows[:, 0:3] + touched * rows[:, 3:6]
    return total


def _coat_above(
    view: AboveView, alpha: float, index: float, grit: Grit, mood: str
) -> CoatLayer:
    here = view.bare
    width, height = here.size_px
    warmth, _ = MOODS[mood]
    pixels = here.pixels
    around = here.around(mood)
    none, wall = 1.0 - here.cover.reshape(-1, 1), here.wall.reshape(-1, 1)
    light = none * (around[0] + wall * (around[1] - around[0]))
    veil = here.coat(alpha, index, grit).ravel()[: len(pixels)].astype(np.float32)
    left = (here.light.rows[:, 0].astype(np.float32) * here.light.step).ravel()
    mirror = MIRROR_STEP * veil * left[: len(pixels)]
    light[pixels] += mirror[:, None] * np.array(warmth, dtype=np.float32)
    passes = np.zeros(height * width, dtype=np.uint8)
    passes[pixels] = 255
    everywhere = np.arange(height * width, dtype=np.int32)
    return CoatLayer(
        _laid(np.ascontiguousarray(light, dtype=np.float32), everywhere, width, height),
        passes.reshape(height, width),
    )


def _plain(row: Any) -> list[float]:
    return [round(float(value), 6) for value in row]
