"""Light in a room: it is less at a column's foot, has no bands, and a lamp is mirrored."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kit.look import glow, lights
from kit.look.camera import EYE_M, camera_at
from kit.look.direct import COAT_INDEX, EVEN_SKY, lamp_light, lamps_of, straight
from kit.look.evened import evened, floor_known
from kit.look.furnish import Furnisher
from kit.look.lights import lit_room, traced_bounces
from kit.look.lobes import SHARP, shares
from kit.look.mirror import Mirrored, softened
from kit.look.optics import fresnel
from kit.look.room import solid_room
from kit.look.sheen import alpha_of
from kit.look.skins import BEYOND
from kit.look.stood import POWER, SOFT, stood
from kit.look.tone import screen
from kit.look.trace import hit
from kit.plan.floor import FloorPlan, PlannedRoom, Threshold, WayOut

pytestmark = [pytest.mark.jit]

COLUMN, RADIUS_M = (2.6, 3.2), 0.2


def hall():
    """A hall of 6 by 7 m with a column, and a cell behind its east wall."""
    outline, cell = shapely.box(0, 0, 6, 7), shapely.box(6.15, 4, 9, 7)
    poured = outline.difference(shapely.Point(COLUMN).buffer(RADIUS_M, quad_segs=16))
    here, there = (shapely.LineString([(x, 5.0), (x, 6.0)]) for x in (6.0, 6.15))
    gap = shapely.box(6, 5, 6.15, 6)
    rooms = (PlannedRoom("Hall", outline, poured), PlannedRoom("Cell", cell, cell))
    out = shapely.LineString([(0, 0.3), (0, 1.2)])
    return FloorPlan(
        rooms, (Threshold(("Hall", "Cell"), (here, there), gap, 1.0),),
        WayOut("Hall", out, 0.9), shapely.union_all([poured, cell, gap]),
    )  # fmt: skip


@pytest.fixture(scope="module")
def room():
    plan = hall()
    return solid_room(plan, plan.largest_room)


@pytest.fixture(scope="module", params=["day", "evening"])
def light(room, request):
    return lit_room(room, traced_bounces(room), request.param)


def test_a_column_darkens_the_floor_at_its_foot(room, light):
    faces = room.faces
    away = np.hypot(*(faces.place[faces.floor, :2] - COLUMN).T) - RADIUS_M
    shine = light.orders[0][faces.floor].mean(axis=1)
    foot = shine[(away > 0.0) & (away < 0.06)].mean()
    around = shine[(away > 0.7) & (away < 1.0)].mean()
    assert foot < 0.90 * around


def test_no_floor_is_lit_from_within_a_column(room, light):
    faces = room.faces
    away = np.hypot(*(faces.place[faces.floor, :2] - COLUMN).T) - RADIUS_M
    shine = light.orders[0][faces.floor].mean(axis=1)
    ring = shine[(away > 0.0) & (away < 0.12)]
    assert shine[away < 0.0].max() <= ring.max()


def test_flakes_at_a_columns_foot_are_darkened_as_the_floor_is(room, light):
    faces = room.faces
    away = np.hypot(*(faces.place[faces.floor, :2] - COLUMN).T) - RADIUS_M
    finer = light.finer[faces.floor, 0]
    foot, near = (away > 0.0) & (away < 0.06), (away > 0.2) & (away < 0.5)
    assert finer[foot].mean() < 0.99 * finer[near].mean()
    assert finer[(away > 0.5) & (away < 1.5)].mean() == pytest.approx(1.0, abs=0.03)


def test_walls_show_no_bands_by_day(monkeypatch):
    """Light between window bars and columns changes softly where nothing stands near."""
    monkeypatch.setattr(Furnisher, "furnish", lambda _: None)
    monkeypatch.setattr("kit.look.room.leaves_of", lambda *_: [])
    plan = hall()
    room = solid_room(plan, plan.largest_room)
    light = lit_room(room, traced_bounces(room), "day")
    for wall in range(len(room.solids.walls)):
        along, up = (int(n) for n in room.faces.table[wall, 1:3])
        shine = light.orders[0][room.faces.of(wall)].mean(axis=1).reshape(up, along)
        column = shine[2:-2].mean(axis=0)
        bend = np.abs(column[:-2] - 2.0 * column[1:-1] + column[2:]) / column[1:-1]
        assert bend[2:-2].max() < 0.06, wall


def test_a_space_beyond_is_lit_through_its_doorway_only(room):
    """From the cell: out through the doorway into the hall; elsewhere its own wall."""
    walls = len(room.solids.walls)
    _, face, _, _ = hit(7.5, 5.5, 1.0, -1.0, 0.0, 0.0, room.solids)
    assert face < walls
    far, face, _, _ = hit(7.5, 4.4, 1.0, -1.0, 0.0, 0.0, room.solids)
    assert room.skins[face, 0] == BEYOND
    assert far == pytest.approx(1.35)
    _, face, _, _ = hit(7.0, 5.5, 1.9, -1.0, 0.0, 0.4, room.solids)
    assert room.skins[face, 0] == BEYOND


@pytest.mark.parametrize(
    "outline",
    [shapely.box(0, 0, 6, 7), shapely.box(0, 0, 4.6, 6.2), shapely.box(0, 0, 9, 14)],
    ids=["hall", "studio", "showroom"],
)
def test_a_lamp_is_mirrored_in_the_first_view(outline):
    """The image of its globe lies within the picture, on floor in front of it."""
    room = PlannedRoom("Room", outline, outline)
    out = shapely.LineString([(0.5, 0.0), (1.4, 0.0)])
    plan = FloorPlan((room,), (), WayOut("Room", out, 0.9), outline)
    solid = solid_room(plan, room)
    stand = solid.stands["room"]
    camera = camera_at(stand, 160, 100)
    (lamp,) = solid.globes_lit(evening=True)
    assert len(solid.globes_lit(evening=False)) == 0
    apart = lamp[:2] - [stand.x, stand.y]
    ahead = np.array(stand.ahead)
    far, aside = float(apart @ ahead), float(apart @ [ahead[1], -ahead[0]])
    assert abs(aside / far) < camera.half_wide
    foot = camera.half_wide * 0.625 * (1.0 + 2.0 * camera.shift)
    assert (EYE_M + lamp[2]) / far < foot
    part = EYE_M / (EYE_M + lamp[2])
    x, y = np.array([stand.x, stand.y]) + part * apart
    assert outline.contains(shapely.Point(x, y))
    _, face, _, _ = hit(x, y, 1e-4, *(lamp - [x, y, 0.0, 0.0])[:3], solid.solids)
    assert face == len(solid.skins) - 1


@pytest.mark.parametrize("view", ["room", "doorway"])
def test_a_ceiling_lamp_lays_a_pool_of_its_own_in_a_matte_coat(monkeypatch, view):
    """Not a haze of many: one outshines all others where it does, and can be seen."""
    outline = shapely.box(0, 0, 6, 7)
    out = shapely.LineString([(0, 0.3), (0, 1.2)])
    hall = PlannedRoom("Hall", outline, outline)
    here = stood(
        FloorPlan((hall,), (), WayOut("Hall", out, 0.9), outline), view, 240, 150, 1
    )
    room, light = here.lit_room.room, here.lit_room.light("evening")
    nodes = glow.nodes_of(room, here.camera.row(), 1.5, here.seen.pixels)
    matte = shares(alpha_of(8.0, 1.5))[SHARP:]

    def glow_of(lamp):
        monkeypatch.setattr(glow, "lamps_of", lambda *_: lamp[None])
        none = np.zeros_like(light.sides)
        seen = glow.glowing(nodes, room, here.camera.row(), 1.5, none, light.colour, True)
        return np.tensordot(matte, seen[..., 1], axes=1) * nodes.inside

    lamps = [lamp for lamp in lamps_of(room, evening=True) if lamp[4] == 0.0]
    glows = here.exposure("evening")[0] * np.array([glow_of(lamp) for lamp in lamps])
    best, at = np.unravel_index(glows.argmax(), glows.shape)
    assert glows[best, at] > 0.1
    assert glows[best, at] > 0.8 * glows[:, at].sum()


def test_a_lamp_lights_a_floor_by_the_size_and_brightness_it_is_seen_with():
    """Irradiance of a small disc is L A cos cos / d2, in a room of any size."""
    outline = shapely.box(0, 0, 14, 18)
    room = PlannedRoom("Hall", outline, outline)
    out = shapely.LineString([(0.5, 0.0), (1.4, 0.0)])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Furnisher, "furnish", lambda _: None)
        solid = solid_room(FloorPlan((room,), (), WayOut("Hall", out, 0.9), outline), room)
    place, none = np.array([[7.0, 9.0, 0.0]]), np.zeros((0, 9))
    lit = np.zeros((1, 3))
    straight(
        place, np.array([[0.0, 0.0, 1.0]]), np.zeros(1, np.int8), np.ones(1, np.bool_),
        np.zeros((4, 0, 9)), none, none, solid.lamps_lit(True), lamp_light(True),
        np.zeros((0, 4)), np.zeros(3), solid.solids, lit,
    )  # fmt: skip
    expected = 0.0
    for x, y, z, radius, _, _, green, _ in lamps_of(solid, evening=True):
        apart = np.array([x, y, z]) - place[0]
        d2 = apart @ apart
        passed = (1.0 - fresnel(apart[2] / math.sqrt(d2), COAT_INDEX)) / EVEN_SKY
        expected += passed * green * radius**2 * apart[2] ** 2 / d2**2
    assert lit[0, 1] == pytest.approx(expected, rel=0.02)


def test_light_bounces_on_for_ever():
    """In a furnace of albedo a it is 1 / (1 - a) of what is sent, however few passes."""

    class Furnace:
        def gathered(self, sent):
            return sent

    ones = np.ones((5, 3), dtype=np.float32)
    albedo = ones * np.array([0.5, 0.7, 0.8], dtype=np.float32)
    for passes in (3, 5):
        assert lights._settled(ones, albedo, Furnace(), passes) == pytest.approx(
            1.0 / (1.0 - albedo), rel=1e-4
        )


def test_light_that_falls_evenly_towards_a_walls_foot_does_so_down_to_it(room):
    """Blending neighbours changes no straight line, nor where it ends."""
    faces = room.faces
    height = np.where(faces.face <= faces.floor_face - 1, faces.place[:, 2], 1.0)
    light = (0.5 + height)[:, None].astype(np.float32)
    even = evened(light, faces, floor_known(room))
    for wall in range(len(room.solids.walls)):
        assert even[faces.of(wall)] == pytest.approx(light[faces.of(wall)], rel=1e-4)


def test_a_lamp_cut_by_the_pictures_foot_is_mirrored_without_lines():
    """Towards the middle of a bright disc at the edge a soft mirror only brightens."""
    width, height = 60, 80
    col, row = np.meshgrid(np.arange(width), np.arange(height))
    disc = 300.0 * (np.hypot(col - 30, row - height) < 9.0)
    picture = np.repeat(disc.reshape(-1, 1), 6, axis=1).astype(np.float32)
    pixels = np.arange(width * height)
    thrown = np.full((len(pixels), 2), 900.0, dtype=np.float32)
    mirrored = Mirrored(pixels, (), thrown, np.zeros(len(pixels), dtype=np.float32))
    camera = np.array([0.0, 0.0, 1.6, 1.0, 0.0, 0.01, width, height, 0.0])
    soft = softened(mirrored, camera, picture)
    for layer in range(SHARP):
        middle = soft[layer, :, 0].reshape(height, width)[:, 30]
        assert np.diff(middle).min() > -1e-3 * math.ceil(middle.max())


def test_a_highlight_held_back_keeps_more_of_its_color():
    light = np.array([[[0.9, 1.6, 3.0]]], dtype=np.float32)
    plain, held = (
        screen(light, 1.0, POWER, soft)[0, 0].astype(int) for soft in (0.0, SOFT)
    )
    assert np.ptp(held) > 1.3 * np.ptp(plain)
    assert held[2] > held[1] > held[0]
