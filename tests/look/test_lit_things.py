"""Furniture's undersides and sides have the light that rays bring to them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from floors import one_room

from kit.look import lights
from kit.look.contact import LUMINANCE
from kit.look.direct import fill_points, globe_light, lamp_light, pane_points, straight
from kit.look.faces import TURNS
from kit.look.lights import USUAL, lit_room, traced_bounces
from kit.look.room import solid_room

pytestmark = [pytest.mark.jit]

RAYS, EVERY = 1024, 3


@pytest.fixture(scope="module")
def room():
    plan = one_room(shapely.box(0, 0, 6, 7))
    return solid_room(plan, plan.largest_room)


def by_rays(room, light, texels, evening):
    """Luminance over pi at texels: lights in small pieces, and a thousand rays of each."""
    faces = room.faces
    place, normal = faces.place[texels], faces.normal[texels]
    still = np.zeros(len(place), dtype=np.int8)
    panes = pane_points(room, evening, 18, 12)
    direct = np.zeros((len(place), 3), dtype=np.float32)
    straight(
        place, normal, still, still > 0, np.stack([panes] * TURNS), panes,
        fill_points(room, evening), room.lamps_lit(evening), lamp_light(evening),
        room.globes_lit(evening), globe_light(), room.solids, direct,
    )  # fmt: skip
    k = np.arange(RAYS) + 0.5
    out, turn = np.sqrt(k / RAYS), 2.39996 * k
    ways = np.stack([out * np.cos(turn), out * np.sin(turn), np.sqrt(1 - out**2)], axis=1)
    meets, beyond = np.empty((2, len(place), RAYS), dtype=np.int32)
    mirrored = np.empty((len(place), RAYS), dtype=np.float32)
    lights._gather_rays(
        place, normal, still, ways, room.solids, faces.table, meets, beyond, mirrored
    )
    lit = light.on(np.full(3, USUAL))
    sent = lit * light.colour
    sent[faces.floor] = USUAL * lit[faces.floor]
    sent = np.append(sent @ LUMINANCE, 0.0)
    bounced = (1.0 - mirrored) * sent[meets] + mirrored * sent[beyond]
    return direct @ LUMINANCE + bounced.mean(axis=1)


@pytest.mark.parametrize("mood", ["day", "evening"])
def test_a_seat_is_as_dark_underneath_as_rays_tell(room, mood):
    """Of little of the light on it: a coat mirrors the underside of pale wood dark."""
    light = lit_room(room, traced_bounces(room), mood)
    told = light.on(np.full(3, USUAL)) @ LUMINANCE
    faces, first = room.faces, len(room.solids.walls) + 2
    under, above = [], []
    for k, (_, _, z, a, b, *_) in enumerate(room.solids.boxes):
        if 0.3 < z < 0.8 and min(a, b) > 0.12:
            under += range(
                faces.of(first + 6 * k + 4).start, faces.of(first + 6 * k + 4).stop
            )
            above += range(
                faces.of(first + 6 * k + 5).start, faces.of(first + 6 * k + 5).stop
            )
    assert len(under) > 20
    true = by_rays(room, light, np.array(under), mood == "evening")
    assert told[under].mean() == pytest.approx(true.mean(), rel=0.05)
    assert np.median(np.abs(told[under] / true - 1.0)) < 0.08
    assert told[under].mean() < 0.3 * told[above].mean()


@pytest.mark.parametrize("mood", ["day", "evening"])
def test_the_foot_of_a_wall_is_as_light_as_rays_tell(room, mood):
    """Skirting lies in the lowest texels; what stands before it is left out."""
    light = lit_room(room, traced_bounces(room), mood)
    told = light.on(np.full(3, USUAL)) @ LUMINANCE
    walls = room.faces.face < len(room.solids.walls)
    low = np.flatnonzero(walls & (room.faces.place[:, 2] < 0.2))[::EVERY]
    true = by_rays(room, light, low, mood == "evening")
    assert np.median(told[low] / true) == pytest.approx(1.0, abs=0.04)
    assert np.median(np.abs(told[low] / true - 1.0)) < 0.06
