"""What light does at the coat and in the film: scalar formulas, one source each.

Everything here is a formula for one ray, one facet or one band; the loops that
use them live in `shade`, `coat` and `lights`. Slopes are those of a facet or
flake, rise over run, along two horizontal axes.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kit.look.compiled import formula


@formula
def fresnel(cos_in: float, index: float) -> float:
    r"""Share of unpolarised light that a clear, smooth coat reflects.

    Parameters
    ----------
    cos_in : float
        Cosine between the incoming ray and the normal, in [0, 1].
    index : float
        Refractive index beyond the surface over that before it, > 0.

    Returns
    -------
    float
        Reflectance in [0, 1]; exactly 1 past the critical angle.

    Notes
    -----
    [Walter2007]_ eq. 22, exact: a floor is mostly seen at grazing angles,
    where Schlick's fit is at its worst.
    """
    g_squared = index * index - 1.0 + cos_in * cos_in
    if g_squared <= 0.0:
        return 1.0  # total internal reflection
    g = math.sqrt(g_squared)
    ratio = (g - cos_in) / (g + cos_in)
    skew = (cos_in * (g + cos_in) - 1.0) / (cos_in * (g - cos_in) + 1.0)
    return 0.5 * ratio * ratio * (1.0 + skew * skew)


def fresnel_polarised(cos_in: float, index: float) -> tuple[float, float]:
    """Reflectance of s and p polarised light, Fresnel's equations, [BornWolf]_ 1.5.2."""
    cos_out = math.sqrt(1.0 - (1.0 - cos_in * cos_in) / (index * index))
    s = (cos_in - index * cos_out) / (cos_in + index * cos_out)
    p = (index * cos_in - cos_out) / (index * cos_in + cos_out)
    return s * s, p * p


def fresnel_outside(index: float) -> float:
    """Share of diffuse light that the coat throws back from outside.

    The cosine-weighted mean of `fresnel`, by Gauss-Legendre quadrature in the
    cosine, in halves so that the steep rise at grazing is met.
    """
    nodes, weights = np.polynomial.legendre.leggauss(64)
    total = 0.0
    for low, high in ((0.0, 0.1), (0.1, 1.0)):
        c = 0.5 * (high - low) * nodes + 0.5 * (high + low)
        f = np.array([fresnel(float(x), index) for x in c])
        total += 0.5 * (high - low) * float(np.sum(weights * f * 2.0 * c))
    return total


def fresnel_inside(index: float) -> float:
    """Share of diffuse light that the coat keeps in.

    One minus it is one minus `fresnel_outside` over index squared: a ray's path
    is the same both ways while its solid angle shrinks by n².
    """
    return 1.0 - (1.0 - fresnel_outside(index)) / (index * index)


@formula
def ggx_d(cos_h: float, alpha: float) -> float:
    """Facet normals a steradian, [Walter2007]_ eq. 33, GGX (Trowbridge-Reitz)."""
    c2 = cos_h * cos_h
    bracket = c2 * (alpha * alpha - 1.0) + 1.0
    return alpha * alpha / (math.pi * bracket * bracket)


@formula
def ggx_g1(cos_v: float, alpha: float) -> float:
    """Share of facets not hidden from one side, [Walter2007]_ eq. 34."""
    tan2 = (1.0 - cos_v * cos_v) / (cos_v * cos_v)
    return 2.0 / (1.0 + math.sqrt(1.0 + alpha * alpha * tan2))


@formula
def ggx_g2(cos_v: float, cos_l: float, alpha: float) -> float:
    """Share of facets seen and lit at once, height-correlated, [Heitz2014]_ eq. 99."""
    a2 = alpha * alpha
    lambda_v = math.sqrt(1.0 + a2 * (1.0 - cos_v * cos_v) / (cos_v * cos_v))
    lambda_l = math.sqrt(1.0 + a2 * (1.0 - cos_l * cos_l) / (cos_l * cos_l))
    return 2.0 / (lambda_v + lambda_l)


@formula
def ggx_visible_normal(
    vx: float, vy: float, vz: float, alpha: float, u: float, v: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Draw a facet normal as often as the eye meets it.

    Parameters
    ----------
    vx, vy, vz : float
        Unit vector to the eye, vz > 0.
    alpha : float
        GGX roughness, in (0, 1].
    u, v : float
        Two numbers in [0, 1).

    Returns
    -------
    (float, float, float)
        Unit normal, upward. [Heitz2018]_ listing 1.
    """
    hx, hy, hz = alpha * vx, alpha * vy, vz
    n = 1.0 / math.sqrt(hx * hx + hy * hy + hz * hz)
    hx, hy, hz = hx * n, hy * n, hz * n
    flat = hx * hx + hy * hy
    tx, ty = (-hy / math.sqrt(flat), hx / math.sqrt(flat)) if flat > 1e-12 else (1.0, 0.0)
    bx, by, bz = -hz * ty, hz * tx, hx * ty - hy * tx
    r = math.sqrt(u)
    phi = 2.0 * math.pi * v
    p = r * math.cos(phi)
    q = r * math.sin(phi)
    s = 0.5 * (1.0 + hz)
    q = (1.0 - s) * math.sqrt(max(0.0, 1.0 - p * p)) + s * q
    w = math.sqrt(max(0.0, 1.0 - p * p - q * q))
    nx = alpha * (p * tx + q * bx + w * hx)
    ny = alpha * (p * ty + q * by + w * hy)
    nz = max(1e-6, q * bz + w * hz)
    n = 1.0 / math.sqrt(nx * nx + ny * ny + nz * nz)
    return nx * n, ny * n, nz * n


@formula
def slope_corner(p: float, q: float) -> float:
    r"""Signed share of GGX slopes between (0, 0) and (p, q), slopes over alpha.

    Notes
    -----
    GGX normals seen as slopes are a bivariate Student t with two degrees of
    freedom, density :math:`1/\pi(1+p^2+q^2)^2` [Walter2007]_ eq. 33. Its
    integral over a box is closed: with :math:`a=\sqrt{1+p^2}`,
    :math:`b=\sqrt{1+q^2}`,

    .. math:: \tfrac{1}{2\pi}\left(\tfrac{p}{a}\arctan\tfrac{q}{a}
              + \tfrac{q}{b}\arctan\tfrac{p}{b}\right)

    (differentiate by p, then by q). So a rectangular window mirrored in a
    coat of any roughness needs no samples and draws no ghosts.
    """
    a = 1.0 / math.sqrt(1.0 + p * p)
    b = 1.0 / math.sqrt(1.0 + q * q)
    return (p * a * arctan(q * a) + q * b * arctan(p * b)) * 0.15915494309189535


@formula
def slope_box(p0: float, p1: float, q0: float, q1: float) -> float:
    """Share of GGX slopes in a box; bounds are slopes over alpha, see `slope_corner`."""
    inside = slope_corner(p1, q1) - slope_corner(p0, q1)
    return inside - slope_corner(p1, q0) + slope_corner(p0, q0)


@formula
def arctan(x: float) -> float:
    """Arctangent to 1e-5 rad, [Abramowitz]_ 4.4.49; five times cheaper than exact."""
    y = abs(x)
    big = y > 1.0
    z = 1.0 / y if big else y
    z2 = z * z
    poly = 0.9998660 + z2 * (
        -0.3302995 + z2 * (0.1801410 + z2 * (-0.0851330 + z2 * 0.0208351))
    )
    r = z * poly
    if big:
        r = 1.5707963267948966 - r
    return r if x >= 0.0 else -r


@formula
def kubelka_munk(
    absorption: float, scattering: float, thickness: float, ground: float,
) -> float:  # fmt: skip
    r"""Reflectance of a scattering film on a ground, [Kubelka1948]_.

    .. math:: R = \frac{1 - R_g(a - b\coth bSX)}{a - R_g + b\coth bSX},
              \quad a = 1 + K/S,\; b = \sqrt{a^2-1}

    Multiplied through by tanh it has no pole at zero thickness, and with b at
    least 1e-3 none at zero absorption (error below 1e-6).
    """
    a = 1.0 + absorption / scattering
    b = math.sqrt(max(a * a - 1.0, 1e-6))
    t = tanh_film(b * scattering * thickness)
    return (t * (1.0 - ground * a) + ground * b) / (t * (a - ground) + b)


@formula
def tanh_film(x: float) -> float:
    """Hyperbolic tangent of x >= 0."""
    e = math.exp(-2.0 * x)
    return (1.0 - e) / (1.0 + e)


@formula
def fade(x: Any) -> Any:
    """Return exp(-x) for x >= 0 in float32 to 3e-5: (1 + x/8 + ...)^-8, no branch."""
    y = x * np.float32(0.125)
    p = np.float32(1.0) + y * (
        np.float32(1.0)
        + y * (np.float32(0.5) + y * (np.float32(0.1666667) + y * np.float32(0.0416667)))
    )
    p = p * p
    p = p * p
    return np.float32(1.0) / (p * p)


def masstone(absorption: float, scattering: float) -> float:
    """Reflectance of a film too thick to see through, [Kubelka1948]_."""
    k = absorption / scattering
    return 1.0 + k - math.sqrt(k * k + 2.0 * k)
