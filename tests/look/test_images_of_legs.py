"""The mirror image of a thin leg in a soft coat, all along it, against facets drawn."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from look.facets import thrown

from kit.look.aim import place_seen
from kit.look.contact import feet_of
from kit.look.kept import light_from_short
from kit.look.outdoors import outside
from kit.look.relief import NO_GRIT
from kit.look.sheen import alpha_of
from kit.look.skins import PANE, glass
from kit.look.stood import stood
from kit.look.texels import sent
from kit.look.trace import hit
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut

pytestmark = [pytest.mark.jit]

INDEX, FACETS = 1.5, 1500
AWAY_M = (0.15, 0.3, 0.45, 0.6)


@pytest.fixture(scope="module")
def here():
    outline = shapely.box(0, 0, 6, 7)
    out = shapely.LineString([(0, 0.3), (0, 1.2)])
    plan = FloorPlan(
        (PlannedRoom("Hall", outline, outline),), (), WayOut("Hall", out, 0.9), outline
    )
    return stood(plan, "doorway", 960, 600, 1)


def mirrored(here, pixel, alpha, numbers):
    """Green light that a coat sends to the eye, a ray followed from each facet drawn."""
    room, camera = here.lit_room.room, here.camera.row()
    sides = here.lit_room.light("day").sides
    row, col = divmod(pixel, here.size_px[0])
    x, y, _, dx, dy, dz = place_seen(col + 0.5, row + 0.5, camera)
    look = -np.array([dx, dy, dz])
    total, light = 0.0, np.empty(6)
    for ray, part in thrown(look, alpha, INDEX, numbers):
        _, face, p, q = hit(x, y, 1e-4, *ray, room.solids)
        wide, high = room.skins[face, 4:6]
        if room.skins[face, 0] == PANE and glass(p, q, wide, high) > 0.5:
            total += part * outside(p, q, wide, high, False)[1]
            continue
        sent(
            face, p, q, room.faces.table, sides, room.skins, room.doors, room.solids, light
        )
        total += part * light[1]
    return total / len(numbers)


@pytest.mark.parametrize("gloss", [20.0, 35.0])
def test_a_thin_leg_is_mirrored_all_along_as_facets_tell(here, gloss):
    """Its image is narrower than the grid on which soft mirrors are worked out."""
    alpha, numbers = alpha_of(gloss, INDEX), np.random.default_rng(7).random((FACETS, 2))
    light = light_from_short(here.rest(alpha, INDEX, NO_GRIT, "day"))
    light = light.reshape(len(light), 7, -1).transpose(0, 2, 1).reshape(-1, 7)
    places, cover = here.seen.places[:, :2], here.seen.cover
    eye = here.camera.row()[:2]
    off = []
    for foot in feet_of(here.lit_room.room):
        if foot[2] > 0.03 or foot[6] < 0.3:
            continue
        toward = (eye - foot[:2]) / np.linalg.norm(eye - foot[:2])
        for away in AWAY_M:
            apart = np.linalg.norm(places - foot[:2] - away * toward, axis=1)
            k = int(np.argmin(apart))
            if apart[k] > 0.02 or cover[k] < 1.0:
                continue
            true = mirrored(here, int(here.seen.pixels[k]), alpha, numbers)
            off.append(np.log(light[k, 1] / true))
    assert len(off) > 40
    assert np.sqrt(np.square(off).mean()) < 0.3
    assert abs(float(np.mean(off))) < 0.15
