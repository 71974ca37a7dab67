"""What a close look shows: flakes that glint, film that rippled, coats with relief."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.look.grain import add_peel, peel
from kit.look.near import add_ripples, glints
from kit.look.overhead import MIRROR_STEP, hung_over, mirrored
from kit.look.relief import NO_GRIT, Grit, add_waves, broken, fill_facing, grains, grit_of
from kit.look.sheet import Part
from kit.look.sight import above
from kit.units import M_PER_FT

pytestmark = pytest.mark.jit
GRIT = Grit(relief_m=9e-5, per_m2=2.5e6, grain_m=1.8e-4)


def places(count: int, side_m: float) -> np.ndarray:
    return np.random.default_rng(4).uniform(0.0, side_m, (count, 2))


def added(slopes, side_m: float, footprint_m: float) -> tuple:
    x, y = np.ascontiguousarray(places(4000, side_m).T)
    sx, sy = np.zeros_like(x), np.zeros_like(y)
    return sx, sy, slopes(x, y, footprint_m, sx, sy)


@pytest.mark.parametrize("footprint_m", [1e-4, 4e-4, 3e-3, 5e-2])
@pytest.mark.parametrize("towards", [0.0, 0.5, 1.0])
def test_glints_are_one_on_average_and_fade_with_distance(footprint_m, towards):
    seen = np.array(
        [glints(x, y, footprint_m, towards) for x, y in places(12_000, 40 * footprint_m)]
    )
    assert seen.min() > 0.9
    assert seen.mean() == pytest.approx(1.0, abs=5 * seen.std() / math.sqrt(2000) + 0.002)
    if footprint_m >= 5e-2:
        assert seen.std() < 0.01


def test_a_flake_glints_more_against_the_rest_where_fewer_point_at_the_light():
    off, on = (
        np.std([glints(x, y, 2e-4, t) for x, y in places(6000, 0.05)]) for t in (0.0, 1.0)
    )
    assert off > 1.5 * on


def test_a_glint_stays_where_it_is():
    assert glints(1.2345, 0.4321, 3e-4, 0.4) == glints(1.2345, 0.4321, 3e-4, 0.4)


def test_ripples_fade_before_they_are_finer_than_a_pixel():
    near, far = (np.std(added(add_ripples, 0.2, f)[0]) for f in (1e-4, 2e-2))
    assert near > 0.005
    assert far < 0.01 * near


def test_grains_are_counted_from_what_is_cast(finishes):
    """0.03 kg/m² of 180 µm spheres at 3.95 kg/l: by hand 2.49 million a square metre."""
    grit = grit_of(finishes["matte_grip"])
    assert grit.per_m2 == pytest.approx(2.487e6, rel=0.001)
    cover = grit.per_m2 * math.pi / 4 * grit.grain_m**2
    assert cover == pytest.approx(0.063, abs=0.001)
    for name in ("matte", "satin", "gloss"):
        assert grit_of(finishes[name]) == NO_GRIT


def test_what_a_pixel_resolves_of_grains_is_taken_out_of_the_roughness():
    """Variance of the slopes drawn plus the change of roughness is nothing on average."""
    drawn, change = [], []
    for x, y in places(20_000, 2.0):
        sx, sy, more = grains(x, y, 0.0, GRIT)
        drawn += [sx * sx, sy * sy]
        change.append(more)
    assert np.mean(drawn) == pytest.approx(-np.mean(change), rel=0.12)


def test_from_afar_grains_are_roughness_alone_unevenly_cast():
    seen = np.array([grains(x, y, 0.02, GRIT) for x, y in places(8000, 3.0)])
    near = -grains(0.3, 0.4, 0.0, GRIT)[2]
    assert np.abs(seen[:, :2]).max() == 0.0
    assert abs(seen[:, 2].mean()) < 0.03 * near
    assert 0.15 * near < seen[:, 2].std() < 0.5 * near


def test_no_grain_is_a_bright_pixel_by_itself():
    """Two feet over 1600 pixels: what leans most leans on in a pixel beside it."""
    pixel, side = 3.8e-4, 120
    lean = np.array([
        [math.hypot(*grains(1.0 + i * pixel, j * pixel, pixel, GRIT)[:2])
         for i in range(side)] for j in range(side)
    ])  # fmt: skip
    inner = lean[1:-1, 1:-1]
    beside = np.max([lean[2:, 1:-1], lean[:-2, 1:-1], lean[1:-1, 2:], lean[1:-1, :-2]], 0)
    most = inner > np.quantile(inner, 0.999)
    assert (beside[most] > 0.4 * inner[most]).all()
    assert np.quantile(inner, 0.5) < 0.04 < inner.max() < 0.3


def test_waves_move_from_slope_to_roughness_as_a_pixel_grows():
    (near, _, lost), (far, _, gained) = (added(add_waves, 3.0, f) for f in (1e-4, 0.2))
    assert near.std() > 10 * far.std()
    assert lost < 0.0 < gained


def test_the_peel_of_a_strip_is_that_of_each_of_its_places():
    sx, sy, lost = added(add_peel, 3.0, 2e-3)
    each = np.array([peel(x, y, 2e-3) for x, y in places(4000, 3.0)])
    assert np.abs(each - np.stack([sx, sy, np.full_like(sx, lost)], axis=1)).max() < 1e-8


def test_a_large_flake_is_a_soft_speck_of_several_pixels():
    """Along a line of pixels light rises and falls over a few of them, not over one."""
    pixel = 2e-4
    along = np.array([glints(k * pixel, 0.0123, pixel, 0.2) for k in range(20_000)])
    loose = np.random.default_rng(1).permutation(along)
    near = np.corrcoef(along[:-1], along[1:])[0, 1]
    assert near > 0.25
    assert abs(np.corrcoef(loose[:-1], loose[1:])[0, 1]) < 0.03
    assert np.quantile(along, 0.999) < 6.0


def test_a_window_hangs_over_a_near_view_and_panes_over_a_wide_one():
    near, wide, hall = hung_over(0.6), hung_over(3.0), hung_over(24.0)
    assert len(near.boxes) == 4
    assert len(wide.boxes) == 2
    assert near.over(0.002)[0, 4] > 5 * near.over(0.05)[0, 4]
    assert wide.over(0.002)[0, 4] == pytest.approx(wide.boxes[0, 4], rel=0.01)
    assert wide.over(0.3)[0, 4] < 0.02 * wide.boxes[0, 4]
    assert hall.boxes[0, 4] == pytest.approx(wide.boxes[0, 4] / 8)


def seen_under(hung, across, along, alpha=0.002):
    """Light that a coat of index 1.5 mirrors at slopes, in the units of the loop."""
    slopes = np.zeros((1, 4, 256), np.float32)
    slopes[0, 0], slopes[0, 1], slopes[0, 3] = across, along, 0.06
    out = np.empty((1, 256), np.uint16)
    mirrored(slopes, alpha, 1.5, hung.over(alpha), 0.09, out)
    return out[0].astype(float) * MIRROR_STEP


def test_sash_bars_part_the_mirrored_window_and_its_sky_is_brightest_above():
    hung = hung_over(0.6)
    (left, right, low, high), top = hung.boxes[0, :4], hung.boxes[1, :4]
    middle = 0.5 * (left + right)
    bar = seen_under(hung, middle, 0.5 * (high + top[2]))[0]
    foot, head = (seen_under(hung, middle, v)[0] for v in (low + 0.008, top[3] - 0.008))
    outside = seen_under(hung, 0.3, 0.3)[0]
    assert head > 1.1 * foot > 3 * bar
    assert bar > outside


@pytest.mark.picture
def test_near_to_every_finish_looks_its_own(demo_job, demo_workup, finishes):
    """A foot wide: grain in the coat with grip, glints under a clear one, mirrors."""
    from kit.job import Pictures

    pictures = Pictures(demo_job.recipe, demo_workup.plan)
    sight = above(
        pictures.poured, demo_workup.plan, width_px=480, height_px=300,
        part=Part(2.4, 2.9, M_PER_FT),
    )  # fmt: skip
    seen = {
        name: sight.shown(pictures.paints, finish).rgb.astype(float)
        for name, finish in finishes.items()
    }

    def rough(light):
        return np.abs(np.diff(light, axis=1)).mean()

    assert rough(seen["matte_grip"]) > 1.1 * rough(seen["matte"])
    assert rough(seen["satin"]) > 2 * rough(seen["matte"])
    assert np.abs(seen["gloss"] - seen["matte"]).mean() > 2


def test_in_the_room_grains_break_a_glow_without_sparkle():
    """A multiplier about one; far off it is even."""
    spots = places(20_000, 3.0)
    x, y = np.ascontiguousarray(spots.T)
    swings = []
    for footprint_m in (0.002, 0.5):
        slopes = np.empty((2, len(x)), dtype=np.float32)
        wide = np.full(len(x), footprint_m)
        fill_facing(x, y, (-2.0, -2.0), wide, GRIT, *slopes)
        out = broken(*slopes, 0.17)
        assert out.mean() == pytest.approx(1.0, abs=0.02)
        assert out.min() >= 0.4
        assert out.max() <= 1.6
        swings.append(out.std())
    assert swings[0] > 0.03
    assert swings[1] < 0.005
