"""Gloss units of a wear coat to the roughness of its surface, and back.

A glossmeter sends light at 60° through a slit onto the coat and counts what
arrives in a receptor at 60° on the other side, as a share of what a polished
black glass of index 1.567 sends there [ISO2813]. The kit's coats are GGX
surfaces; `gloss_of` is the reading in closed form, `alpha_of` its inverse and
`gloss_by_ray` the same reading drawn ray by ray from the definition.
"""

from __future__ import annotations

import math

from kit.errors import PictureError
from kit.look.optics import fresnel, ggx_g1, ggx_g2, ggx_visible_normal, slope_box

STANDARD_INDEX = 1.567
"""Black glass that reads 100 GU, [ISO2813] definition 3.3."""

SOURCE_DEG = (0.75, 2.5)
RECEPTOR_DEG = {20: (1.8, 3.6), 60: (4.4, 11.7), 85: (4.0, 6.0)}
"""Apertures in plane and across; from memory of [ISO2813] and [ASTMD523] table 1."""

_COS = 0.5
"""Cosine of 60°, where floors are read."""
_REACH = (
    math.tan(math.radians(RECEPTOR_DEG[60][0] / 4)),
    math.radians(RECEPTOR_DEG[60][1] / 4) / _COS,
)
"""Steepest facet, in plane and across, that still mirrors the lamp into the receptor."""
_SHIFT = (
    math.radians(SOURCE_DEG[0] / 4) / math.sqrt(3),
    math.radians(SOURCE_DEG[1] / 4) / math.sqrt(3) / _COS,
)
"""How far a place of the slit, two a side after Gauss, moves those facets."""

SMOOTHEST = 0.002
"""Roughness given to a reading that no coat of its index can reach."""
ROUGHEST = 0.6


def mirror_gloss(index: float) -> float:
    """Reading of a perfectly smooth coat at 60°: the most this index can reach. [GU]

    >>> round(mirror_gloss(1.5), 1)
    89.1
    """
    return 100.0 * float(fresnel(0.5, index)) / float(fresnel(0.5, STANDARD_INDEX))


def gloss_of(alpha: float, index: float) -> float:
    """Gloss at 60° of a GGX surface. [GU]

    Parameters
    ----------
    alpha : float
        GGX roughness, in (0, 1].
    index : float
        Refractive index of the coat, 1.3 to 1.8.

    Notes
    -----
    The receptor is a box of facet slopes, whose share is exact, see
    `optics.slope_box`; only Fresnel and shadowing are taken at 60° for all of
    it. Within 0.1 GU of the integral of the whole reflection for alpha in
    [0.006, 0.6]; the tests hold it to 0.2.
    """
    share = 0.0
    for away in (-_SHIFT[0], _SHIFT[0]):
        for aside in (-_SHIFT[1], _SHIFT[1]):
            share += 0.25 * slope_box(
                (away - _REACH[0]) / alpha, (away + _REACH[0]) / alpha,
                (aside - _REACH[1]) / alpha, (aside + _REACH[1]) / alpha,
            )  # fmt: skip
    return mirror_gloss(index) * share * float(ggx_g2(_COS, _COS, alpha))


def alpha_of(gloss_gu: float, index: float) -> float:
    """Roughness of a coat that reads `gloss_gu` at 60°; inverse of `gloss_of`.

    A reading above `mirror_gloss` is given the smoothest coat: real coats of
    91 GU exist because their index is a little higher than the sheet says.

    Raises
    ------
    PictureError
        If the gloss is not between 0.5 and 110 GU or the index not 1.3 to 1.8.
    """
    if not 0.5 <= gloss_gu <= 110.0:
        raise PictureError("gloss at 60°", found=gloss_gu, expected="0.5 to 110 GU")
    if not 1.3 <= index <= 1.8:
        raise PictureError("refractive index", found=index, expected="1.3 to 1.8")
    smooth, rough = SMOOTHEST, ROUGHEST
    if gloss_gu >= gloss_of(smooth, index):
        return smooth
    if gloss_gu <= gloss_of(rough, index):
        return rough
    for _ in range(48):
        middle = math.sqrt(smooth * rough)
        if gloss_of(middle, index) > gloss_gu:
            smooth = middle
        else:
            rough = middle
    return math.sqrt(smooth * rough)


def gloss_by_ray(
    alpha: float, index: float, *, angle_deg: int = 60, log2_rays: int = 14
) -> float:
    """Gloss from its definition, by drawing facets as often as the lamp meets them. [GU]

    Slow; the reference that `gloss_of` is held to. Facets are drawn after
    [Heitz2018]_ with Sobol numbers, so each ray carries Fresnel times the share
    of facets not hidden, G2 / G1.
    """
    from scipy.stats import qmc

    numbers = qmc.Sobol(4, scramble=True, rng=7).random_base2(log2_rays)
    plane, across = RECEPTOR_DEG[angle_deg]
    total, glass = 0.0, 0.0
    for a, b, u, v in numbers:
        tilt = math.radians(angle_deg + (a - 0.5) * SOURCE_DEG[0])
        side = math.radians((b - 0.5) * SOURCE_DEG[1])
        x, y, z = (
            math.sin(tilt) * math.cos(side),
            math.sin(side),
            math.cos(tilt) * math.cos(side),
        )
        nx, ny, nz = ggx_visible_normal(x, y, z, alpha, u, v)
        cos_h = x * nx + y * ny + z * nz
        rx, ry, rz = 2 * cos_h * nx - x, 2 * cos_h * ny - y, 2 * cos_h * nz - z
        glass += fresnel(z, STANDARD_INDEX)
        off = math.degrees(math.atan2(-rx, rz)) - angle_deg
        aside = math.degrees(math.asin(max(-1.0, min(1.0, ry))))
        if rz > 0.0 and abs(off) <= plane / 2 and abs(aside) <= across / 2:
            total += fresnel(cos_h, index) * ggx_g2(z, rz, alpha) / ggx_g1(z, alpha)
    return 100.0 * total / glass


def words_for(gloss_gu: float) -> str:
    """Say in plain words what a 60° reading looks like.

    Bounds at 10, 35 and 70 GU are those between the levels of [MPI]; the words
    are ours.

    >>> words_for(8), words_for(88)
    ('flat and soft, no mirror', 'a clear mirror')
    """
    steps = ((5, "dead flat"), (10, "flat and soft, no mirror"), (20, "a low sheen"),
             (35, "a gentle sheen"), (70, "a bright sheen with soft outlines"),
             (85, "a mirror with soft edges"))  # fmt: skip
    return next((said for bound, said in steps if gloss_gu <= bound), "a clear mirror")


def level_of(gloss_60: float, gloss_85: float | None = None) -> str:
    """Level G1 to G7 of [MPI]; where two levels overlap at 60° the 85° reading decides."""
    if gloss_60 <= 5 and (gloss_85 is None or gloss_85 <= 10):
        return "G1"
    if gloss_60 <= 10 and (gloss_85 is None or gloss_85 <= 35):
        return "G2"
    if gloss_60 <= 35:
        low = gloss_60 < 20 or (gloss_60 <= 25 and gloss_85 is not None and gloss_85 < 35)
        return "G3" if low else "G4"
    return next(
        (name for bound, name in ((70, "G5"), (85, "G6")) if gloss_60 <= bound), "G7"
    )
