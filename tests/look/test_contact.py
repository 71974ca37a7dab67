"""What stands on a floor shades it at its foot; no mirror image outshines its source."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from look.facets import thrown

from kit.look import hidden
from kit.look.contact import contact_shade, feet_of
from kit.look.hidden import left_in_sight
from kit.look.kept import light_from_short
from kit.look.lights import USUAL
from kit.look.lobes import SHARP, SOFT, SPREADS, shares
from kit.look.optics import fresnel
from kit.look.outdoors import outside
from kit.look.relief import NO_GRIT
from kit.look.sheen import alpha_of
from kit.look.skins import PANE, glass
from kit.look.stood import SEEN, stood
from kit.look.strip import N
from kit.look.texels import between
from kit.look.trace import MISS, hit
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut

pytestmark = [pytest.mark.jit]

COLUMN, RADIUS_M = np.array([2.6, 3.2]), 0.2
FOOT_M = 0.3048


@pytest.fixture(scope="module")
def here():
    outline = shapely.box(0, 0, 6, 7)
    poured = outline.difference(shapely.Point(COLUMN).buffer(RADIUS_M, quad_segs=16))
    out = shapely.LineString([(0, 0.3), (0, 1.2)])
    plan = FloorPlan(
        (PlannedRoom("Hall", outline, poured),), (), WayOut("Hall", out, 0.9), poured
    )
    return stood(plan, "room", 240, 150, 1)


def lit_at(here, places, mood="day"):
    """Light at floor places, and the part of it that texels do not tell."""
    room, light = here.lit_room.room, here.lit_room.light(mood)
    sides = light.on(np.full(3, USUAL))
    faces = room.faces
    told = [between(faces.floor_face, x, y, faces.table, sides, 1) for x, y in places]
    shade = contact_shade(room, light, places, mood == "evening")
    return np.array(told) * shade, shade


def ring(middle, away_m):
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    return middle + away_m * np.column_stack([np.cos(turn), np.sin(turn)])


@pytest.mark.parametrize("mood", ["day", "evening"])
def test_at_a_columns_foot_the_floor_is_darker_than_a_foot_away(here, mood):
    foot, _ = lit_at(here, ring(COLUMN, RADIUS_M + 0.02), mood)
    away, _ = lit_at(here, ring(COLUMN, RADIUS_M + FOOT_M), mood)
    assert foot.mean() < 0.75 * away.mean()


def test_a_leg_finer_than_a_texel_shades_its_foot(here):
    feet = feet_of(here.lit_room.room)
    legs = feet[(feet[:, 2] < 0.03) & (feet[:, 6] > 0.1)]
    assert len(legs)
    for leg in legs:
        _, near = lit_at(here, ring(leg[:2], 1.42 * leg[2] + 0.01))
        _, far = lit_at(here, ring(leg[:2], 0.15))
        assert near.mean() < 0.97 * far.mean()
        assert near.min() < 0.8


def test_shade_is_told_once(here):
    """Over a field of many texels it adds nothing to what these tell, and takes little."""
    x, y = np.meshgrid(*(np.linspace(-0.9, 0.9, 61),) * 2)
    places = COLUMN + np.column_stack([x.ravel(), y.ravel()])
    places = places[np.hypot(*(places - COLUMN).T) > RADIUS_M + 0.01]
    _, shade = lit_at(here, places)
    assert 0.95 < shade.mean() < 1.01
    far = np.hypot(*(places - COLUMN).T) > RADIUS_M + 0.8
    assert np.array_equal(shade[far], np.ones(far.sum(), np.float32))


def mirrored_panes(here, alpha):
    """Light of the coat where it mirrors glass, and of that glass; sine of the look."""
    room = here.lit_room.room
    rest = light_from_short(here.rest(alpha, 1.5, NO_GRIT, "day"))
    rows = rest.reshape(len(rest), 7, N)[:, :6].transpose(0, 2, 1).reshape(-1, 6)
    place = {pixel: k for k, pixel in enumerate(here.seen.pixels)}
    for hits in here._coat._mirrored.hits:
        for pixel, faces, places in zip(*hits, strict=True):
            skins = room.skins[faces]
            shines = [
                np.array(outside(u, v, s[4], s[5], False))
                for s, (u, v) in zip(skins, places, strict=True)
                if s[0] == PANE and glass(u, v, s[4], s[5]) > 0.5
            ]
            k = place[pixel]
            if len(shines) == len(faces) and here.seen.cover[k] == 1.0:
                yield rows[k, :3] + rows[k, 3:], np.max(shines, axis=0), here._coat._rise[k]


def test_a_mirror_image_is_never_brighter_than_its_source(here):
    """By Fresnel's share of it where the coat is smooth; and dimmer than it is printed."""
    seen = list(mirrored_panes(here, 0.001))
    assert len(seen) > 50
    for mirror, source, rise in seen:
        assert (mirror <= 1.05 * fresnel(rise, 1.5) * source + 0.02).all()
        if rise > np.cos(np.radians(70.0)):
            assert (mirror < SEEN * source + 0.02).all()


def test_the_print_of_a_bright_thing_is_no_dimmer_than_a_coat_mirrors_it():
    assert fresnel(np.cos(np.radians(70.0)), 1.55) <= SEEN + 5e-3


def test_at_a_walls_foot_the_coat_mirrors_no_ceiling(here):
    """Where a pixel is half floor, half wall, a ray from behind the wall would meet it."""
    walls = len(here.lit_room.room.solids.walls)
    _, along_edges = here.seen.others
    feet = {
        int(pixel)
        for pixel, faces in zip(along_edges.pixel, along_edges.face, strict=True)
        if MISS in faces and ((faces >= 0) & (faces < walls)).any() and faces.max() < walls
    }
    assert len(feet) > 100
    met = {}
    for hits in here._coat._mirrored.hits:
        met |= {int(p): set(f.tolist()) for p, f in zip(hits.pixel, hits.face, strict=True)}
    assert not any(met[pixel] & {MISS, walls + 1} for pixel in feet)


@pytest.mark.parametrize("gloss", [8.0, 35.0])
@pytest.mark.parametrize("away_m", [0.04, 0.08, 0.14])
def test_a_coat_of_any_roughness_mirrors_the_foot_of_a_thin_leg(here, gloss, away_m):
    """As many facets, drawn as the eye meets them, throw their ray onto the leg."""
    room, camera = here.lit_room.room, here.camera.row()
    feet = hidden.mirrored_feet(room, camera, here.lit_room.light("day"))
    eye = camera[:3]
    alpha, numbers = alpha_of(gloss, 1.5), np.random.default_rng(3).random((4000, 2))
    weights = shares(alpha)[SHARP:] / shares(alpha)[SHARP:].sum()
    tried = 0
    for leg in feet[(feet[:, 2] < 0.03) & (feet[:, 6] > 0.1)]:
        toward = (eye[:2] - leg[:2]) / np.hypot(*(eye[:2] - leg[:2]))
        place = leg[:2] + (away_m + leg[2]) * toward
        apart = np.hypot(*(feet[:, :2] - leg[:2]).T)
        depth = float((leg[:2] - eye[:2]) @ camera[3:5])
        if np.sort(apart)[1] < 0.3 or depth < 1.0:
            continue
        look = eye - [*place, 0.0]
        look /= np.linalg.norm(look)
        met, sent = 0.0, 0.0
        for ray, part in thrown(look, alpha, 1.5, numbers):
            one = room.solids._replace(globes=room.solids.globes[:0])
            far, _, _, _ = hit(*place, 1e-4, *ray, one)
            sent += part
            met += part * (far * np.hypot(ray[0], ray[1]) < away_m + 3.0 * leg[2])
        picture = picture_place(camera, place)
        out = np.empty((1, SOFT), dtype=np.float32)
        dark = leg.copy()[None]
        dark[0, 8] = 1.0
        hidden._hide(picture[None], camera, dark, SPREADS[SHARP:], out)
        assert 1.0 - out[0] @ weights == pytest.approx(met / sent, abs=0.12), (
            leg[:2],
            away_m,
            met / sent,
        )
        tried += 1
    assert tried


def picture_place(camera, place):
    """Column and row of a floor place."""
    apart = np.array([*place, 0.0]) - camera[:3]
    ahead = np.array([camera[3], camera[4], 0.0])
    right = np.array([camera[4], -camera[3], 0.0])
    depth = apart @ ahead
    col = 0.5 * camera[6] + apart @ right / depth / camera[5]
    row = 0.5 * camera[7] - camera[8] - apart[2] / depth / camera[5]
    return np.array([col, row])


def test_a_matte_coat_is_darker_right_before_a_legs_foot(here):
    """And told once: over all that is near feet it takes little."""
    light, camera = here.lit_room.light("day"), here.camera.row()
    nodes, _ = here._coat._soft(1.5, light, evening=False)
    at, left = left_in_sight(here.lit_room.room, camera, here.seen.pixels, nodes, light)
    assert left[:, 3].min() < 0.7
    assert 0.9 < left.mean() < 1.05
    assert len(at) < 0.6 * len(here.seen.pixels)
