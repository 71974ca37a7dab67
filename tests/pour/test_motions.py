"""Laws of the walk back: area kept, nothing through walls, bins of no account."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from pour.pourings import floor, places_on
from shapely import Point

from kit.knobs import knobs_of
from kit.pour.ground import Ground
from kit.pour.kernel import fill_origins
from kit.pour.laid import lay
from kit.pour.motions import every_motion, usual_motions
from kit.pour.recipe import Flow

pytestmark = pytest.mark.jit
STEP_M = 0.004
EVERY_MOTION = pytest.mark.parametrize("kind", every_motion(), ids=lambda k: k.__name__)


def jacobians(poured, x, y):
    """Determinants of the walk back, by central differences over 2 * STEP_M."""
    east, west = poured.came_from(x + STEP_M, y), poured.came_from(x - STEP_M, y)
    north, south = poured.came_from(x, y + STEP_M), poured.came_from(x, y - STEP_M)
    return ((east[0] - west[0]) * (north[1] - south[1])
            - (north[0] - south[0]) * (east[1] - west[1])) / (4 * STEP_M**2)  # fmt: skip


def inner(plan, x, y, margin_m):
    return shapely.contains_xy(plan.surface.buffer(-margin_m), x, y)


@EVERY_MOTION
def test_each_motion_keeps_area_and_so_pigment(kind, ell):
    """A stream function makes no area: det J = 1 to the third order of a step."""
    poured = floor(ell, 0.5, 0.5, motions=(kind(),))
    x, y = places_on(ell, 12_000)
    off = np.abs(jacobians(poured, x, y) - 1.0)
    assert np.median(off) < 0.01
    assert np.percentile(off, 95) < 0.08
    assert np.percentile(off, 50) > 0.0  # it moved


def test_all_motions_together_keep_area(ell_floor, ell):
    x, y = places_on(ell, 30_000)
    determinants = jacobians(ell_floor, x, y)
    low, middle, high = np.percentile(determinants, [1, 50, 99])
    assert low > 0.85
    assert high < 1.18
    assert middle == pytest.approx(1.0, abs=0.005)


@EVERY_MOTION
def test_no_motion_folds_the_film_at_its_strongest(kind, ell):
    """Every drag turned full on, by itself."""
    drags = {
        k.name: k.high for k in knobs_of(kind) if k.name in ("drag", "creep_m", "often")
    }
    poured = floor(ell, 0.5, 0.5, seed=9, motions=(kind(**drags),))
    x, y = places_on(ell, 20_000, seed=2)
    clear = inner(ell, x, y, 2 * STEP_M)
    assert (jacobians(poured, x[clear], y[clear]) <= 0.0).mean() < 5e-4


@EVERY_MOTION
def test_a_motion_walked_forth_undoes_its_walk_back(kind, ell):
    """The same strokes reversed, first moment last, bring a place back to itself."""
    ground = Ground(ell, Flow(), 7)
    laid = lay(ground, (kind(),))
    forth = reversed_in_time(laid)
    x, y = places_on(ell, 3_000, seed=5)
    away = inner(ell, x, y, 0.6)
    east, north = ground.feet(x[away], y[away])
    there = walked(laid, ground, east, north)
    back = walked(forth, ground, *there)
    moved = np.hypot(there[0] - east, there[1] - north)
    gap = np.hypot(back[0] - east, back[1] - north)
    assert np.percentile(gap, 95) < 0.06 * max(np.percentile(moved, 95), 0.05)


def reversed_in_time(laid):
    """The same floor worked backwards: velocities turned about, last moment first."""
    records = laid.records.copy()
    records[:, 1:3] *= -1.0
    ripples = laid.ripples.copy()
    ripples[:, 0] *= -1.0
    return laid._replace(
        records=records,
        level_ints=np.ascontiguousarray(laid.level_ints[::-1]),
        level_feet=np.ascontiguousarray(laid.level_feet[::-1]),
        ripples=ripples,
    )


def walked(laid, ground, east, north):
    origins = np.empty((2, 1, east.size), np.float32)
    fill_origins(east[None], north[None], 1, laid, ground.lie.salts, origins)
    return origins[:, 0]


@pytest.mark.parametrize("seed", [7, 12, 31])
def test_the_film_does_not_fold(seed, ell):
    """A fold, det J <= 0, would show one pour on both its sides."""
    poured = floor(ell, 0.5, 0.5, seed=seed)
    x, y = places_on(ell, 30_000)
    # differences must not straddle a wall, where two sides slip apart
    clear = inner(ell, x, y, 2 * STEP_M)
    assert (jacobians(poured, x[clear], y[clear]) <= 0.0).mean() < 5e-4


@pytest.mark.parametrize("seed", [7, 12])
def test_nothing_is_poured_through_a_wall(seed, ell):
    poured = floor(ell, 0.5, 0.5, seed=seed)
    x, y = places_on(ell, 30_000)
    from_x, from_y = poured.came_from(x, y)
    outside = ~shapely.contains_xy(ell.surface, from_x, from_y)
    gaps = [
        ell.surface.distance(Point(*p))
        for p in zip(from_x[outside], from_y[outside], strict=True)
    ]
    assert max(gaps, default=0.0) < 0.001


def test_strokes_found_by_their_bins_are_all_that_reach(ell):
    """Rival: the plain sum over every stroke of every moment, in double precision."""
    ground = Ground(ell, Flow(), 7)
    motions = tuple(m for m in usual_motions() if m.kind != "levelling")
    laid = lay(ground, motions)
    poured = floor(ell, 0.5, 0.5, seed=7, motions=motions)
    x, y = places_on(ell, 6_000, seed=3)
    away = inner(ell, x, y, 0.01)
    x, y = x[away], y[away]
    east, north = (plane.astype(float) for plane in ground.feet(x, y))
    slow = walked_plainly(laid, east, north)
    fast = np.array([plane.astype(float) for plane in ground.feet(*poured.came_from(x, y))])
    gap = np.hypot(*(fast - slow))
    assert np.hypot(*(slow - [east, north])).mean() > 0.5  # ft: it went somewhere
    assert np.percentile(gap, 99) < 2e-3
    assert np.median(gap) < 1e-4


def walked_plainly(laid, x, y):
    """Walk back with no bins, no blocks: every stroke for every place."""
    records = laid.records.astype(float)
    for (start, east, north, _), (*_, wall_ft) in zip(
        laid.level_ints, laid.level_feet, strict=True
    ):
        first, last = laid.starts[start], laid.starts[start + east * north]
        psi, vx, vy, gxx, gxy, gyx = moment(records[first:last], x, y)
        a, ax, ay, axx, axy, ayy = fades(laid.walls.astype(float), float(wall_ft), x, y)
        g0 = a * gxx + ax * vx - ay * vy + axy * psi
        g1 = a * gxy + 2 * ay * vx + ayy * psi
        g2 = a * gyx + 2 * ax * vy - axx * psi
        vx, vy = a * vx + ay * psi, a * vy - ax * psi
        # half of the step is taken where it leads to: (I + g / 2) step = v
        step = np.linalg.solve(
            np.moveaxis(np.array([[1 + g0 / 2, g1 / 2], [g2 / 2, 1 - g0 / 2]]), -1, 0),
            np.stack([vx, vy], axis=-1)[..., None],
        )[..., 0]
        x, y = x - step[:, 0], y - step[:, 1]
    return np.array([x, y])


def moment(strokes, x, y):
    """Sum of (u x q)(1 - q^2 / R^2)^3 and its derivatives, by the chain rule on q^2."""
    out = np.zeros((6, x.size))
    for _, u, v, cx, cy, radius in strokes:
        qx, qy = x - cx, y - cy
        m = np.maximum(0.0, 1.0 - (qx**2 + qy**2) / radius**2)
        cross = u * qy - v * qx
        k = 6.0 / radius**2
        mx, my = -k * qx * m**2, -k * qy * m**2  # slope of m^3
        mxx = -k * m**2 + 4.0 * k * qx**2 * m / radius**2
        myy = -k * m**2 + 4.0 * k * qy**2 * m / radius**2
        mxy = 4.0 * k * qx * qy * m / radius**2
        out[0] += cross * m**3
        out[1] += u * m**3 + cross * my
        out[2] -= -v * m**3 + cross * mx
        out[3] += u * mx - v * my + cross * mxy
        out[4] += 2 * u * my + cross * myy
        out[5] -= -2 * v * mx + cross * mxx
    return out


def fades(walls, fade, x, y):
    """Product of every wall's and column's factor, derivatives by differences."""

    def product(x, y):
        a = np.ones_like(x)
        for x0, y0, tx, ty, length, radius in walls:
            along, across = (x - x0) * tx + (y - y0) * ty, (y - y0) * tx - (x - x0) * ty
            past = np.maximum(-along, along - length)
            # a wall lets go by the integral of 2 z - z^2 over 1.2 ft past its end
            z = past if radius else np.clip(past, 0.0, 1.2) / 1.2
            off = past if radius else 1.2 * (z**2 - z**3 / 3) + np.maximum(past - 1.2, 0.0)
            d = np.hypot(across, off) - radius
            left = np.clip(1.0 - d / fade, 0.0, 1.0)
            a *= 1.0 - (4.0 - 3.0 * left if radius else 1.0) * left**3
        return a

    h = 1e-4
    e, w, n, s = product(x + h, y), product(x - h, y), product(x, y + h), product(x, y - h)
    a = product(x, y)
    ne, sw = product(x + h, y + h), product(x - h, y - h)
    nw, se = product(x - h, y + h), product(x + h, y - h)
    return (a, (e - w) / (2 * h), (n - s) / (2 * h), (e - 2 * a + w) / h**2,
            (ne + sw - nw - se) / (4 * h**2), (n - 2 * a + s) / h**2)  # fmt: skip


@EVERY_MOTION
def test_every_motion_changes_the_floor(kind, ell):
    x, y = places_on(ell, 2_000)
    without = tuple(motion for motion in usual_motions() if not isinstance(motion, kind))
    order = sorted((*without, kind()), key=lambda motion: motion.place)
    with_it = floor(ell, 0.5, 0.5, motions=order).film_at(x, y, 0.005)
    none = floor(ell, 0.5, 0.5, motions=without).film_at(x, y, 0.005)
    assert np.abs(with_it.shares - none.shares).mean() > 0.005


@pytest.mark.parametrize(
    ("kind", "knob"),
    [(kind, knob.name) for kind in every_motion() for knob in knobs_of(kind)],
)
def test_every_knob_of_a_motion_moves_the_film(kind, knob, ell):
    x, y = places_on(ell, 1_500)
    spec = next(k for k in knobs_of(kind) if k.name == knob)
    usual = kind()
    turned = usual.changed(**{knob: spec.low if spec.start > spec.low else spec.high})
    one = floor(ell, 0.5, 0.5, motions=(usual,)).came_from(x, y)
    other = floor(ell, 0.5, 0.5, motions=(turned,)).came_from(x, y)
    assert np.hypot(one[0] - other[0], one[1] - other[1]).mean() > 0.001
