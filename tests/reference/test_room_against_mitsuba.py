"""The room's floor against a path tracer, same room, same film, same eye.

Figures are those reached, rounded up: mean CIEDE2000 over blocks of 6 x 6 pixels as a
screen shows them, and the floor's mean luminance over the path tracer's.

Mitsuba's own rough coats lose light: a white film under one is not white in a white
furnace. The floor that the room is traced with is therefore a measured surface, walked
facet by facet (`walked`), which loses none.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import shapely
from reference import twin, walked

from kit.look import inroom
from kit.look.camera import camera_at
from kit.look.colour import difference, lab, luminance, srgb_decoded
from kit.look.eye import look
from kit.look.flakes import FACE_SHARE, FLAKE_ALPHA
from kit.look.furnish import Furnisher
from kit.look.inroom import RoomView
from kit.look.lights import traced_bounces
from kit.look.optics import fresnel_inside
from kit.look.relief import NO_GRIT
from kit.look.room import solid_room
from kit.look.sheen import alpha_of
from kit.look.stood import LitRoom, Stood
from kit.look.tone import screen
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.pour.film import Film

pytestmark = [pytest.mark.jit, pytest.mark.picture]

INDEX = 1.5
BLOCK = 6
GREY, DARK = (0.5, 0.5, 0.5), (0.02, 0.02, 0.02)
FILM, FLAKES = np.array([0.30, 0.34, 0.40]), np.array([0.62, 0.50, 0.36])


def view_of(width, height):
    outline = shapely.box(0.0, 0.0, 5.4, 8.6)
    room = PlannedRoom(name="Studio", outline=outline, poured=outline)
    door = shapely.LineString([(5.4, 0.5), (5.4, 1.5)])
    plan = FloorPlan((room,), (), WayOut("Studio", door, 1.0), outline)
    solid = solid_room(plan, room)
    camera = camera_at(solid.stands["room"], width, height)
    seen = look(solid, camera, 1)
    count = len(seen.film_x)
    one, none = np.ones((1, count), np.float32), np.zeros(count, np.float32)
    film = Film(one, one[0], one, none, np.zeros((2, count), np.float32))
    lit = LitRoom(solid, traced_bounces(solid))
    stood = Stood(lit, camera, seen)
    vars(stood)["glints"] = np.ones(count, np.float32)
    return RoomView(stood, film)


@pytest.fixture(scope="module")
def bare():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Furnisher, "furnish", lambda _: None)
        return view_of(120, 75)


@pytest.fixture(scope="module")
def furnished():
    return view_of(120, 75)


def ours(view, colour, alpha, mood, flakes=(0.0, 0.0, 0.0), cover=0.0):
    """The kit's light, exposure and power for an even film."""
    kept = fresnel_inside(INDEX)
    body = (1.0 - cover) * (1.0 - kept) * np.array(colour) / (1.0 - kept * np.array(colour))
    place = np.concatenate([body, cover * np.array(flakes), np.zeros(3), [cover]])
    colours = np.tile(place.astype(np.float32), (len(view.stood.seen.film_x), 1))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(inroom, "painted", lambda *_: colours)
        return view.lit(None, alpha, INDEX, NO_GRIT, mood)


def held(view, shown, reference):
    """Mean difference of blocks of whole floor, and the ratio of luminances."""
    light, *tone = shown
    height, width, _ = light.shape
    cover = np.zeros(height * width)
    cover[view.stood.seen.pixels] = view.stood.seen.cover
    floor = cover.reshape(height, width) >= 0.999
    rows, cols = (n // BLOCK * BLOCK for n in (height, width))

    def blocks(of):
        cut = of[:rows, :cols].reshape(rows // BLOCK, BLOCK, cols // BLOCK, BLOCK, -1)
        return cut.mean(axis=(1, 3))

    whole = blocks(floor.astype(float))[..., 0] >= 1.0
    seen = [
        lab(srgb_decoded(screen(blocks(f).astype(np.float32), *tone) / 255.0))
        for f in (light, reference)
    ]
    apart = difference(*seen)[whole]
    assert len(apart) > 60
    ratio = luminance(light[floor]).mean() / luminance(reference[floor]).mean()
    return float(apart.mean()), float(ratio)


@pytest.fixture(scope="module")
def surface(tmp_path_factory):
    """A floor for Mitsuba, made once: by gloss, film, flakes and their cover."""
    folder = tmp_path_factory.mktemp("surfaces")

    @cache
    def made(gloss, film, flakes, cover):
        alpha = alpha_of(gloss, INDEX)
        mirrored = tuple(FACE_SHARE * m for m in flakes)
        file = folder / f"{abs(hash((gloss, film, flakes, cover)))}.bsdf"
        return walked.surface(file, INDEX, alpha, film, mirrored, cover, FLAKE_ALPHA)

    return made


def compared(mi, view, floor, mood, shown, samples):
    reference = twin.rendered(
        mi, view.stood.lit_room.room, view.stood.camera, floor, evening=mood == "evening",
        samples=samples,
    )  # fmt: skip
    return held(view, shown, reference)


# Room, mood, gloss, film, most difference.
COATED = [
    ("bare", "day", 8.0, GREY, 1.1),
    ("bare", "day", 35.0, GREY, 1.1),
    ("bare", "day", 89.0, GREY, 1.1),
    ("bare", "day", 89.0, DARK, 1.7),
    ("bare", "evening", 8.0, GREY, 1.0),
    ("bare", "evening", 35.0, GREY, 1.3),
    ("bare", "evening", 89.0, GREY, 1.3),
    ("furnished", "day", 8.0, GREY, 1.3),
    ("furnished", "day", 35.0, GREY, 1.3),
    ("furnished", "day", 89.0, GREY, 1.3),
    ("furnished", "evening", 8.0, GREY, 1.2),
    ("furnished", "evening", 89.0, GREY, 1.4),
]


@pytest.mark.parametrize(("which", "mood", "gloss", "film", "most"), COATED)
def test_a_coated_film_is_lit_as_the_path_tracer_lights_it(
    mi, request, surface, which, mood, gloss, film, most
):
    view = request.getfixturevalue(which)
    floor = surface(gloss, film, (0.0, 0.0, 0.0), 0.0)
    shown = ours(view, film, alpha_of(gloss, INDEX), mood)
    samples = 256 if gloss > 60.0 else 96  # mirrors are still only after many
    apart, ratio = compared(mi, view, floor, mood, shown, samples)
    assert apart < most
    assert ratio == pytest.approx(1.0, abs=0.03)


FLAKED = [
    ("day", 89.0, 0.0, 256, 1.2),
    ("day", 8.0, 0.0, 128, 1.1),
    ("day", 89.0, 0.5, 256, 1.0),
    ("day", 8.0, 0.5, 128, 1.1),
    ("day", 89.0, 1.0, 256, 1.0),
    ("day", 8.0, 1.0, 128, 1.1),
    ("evening", 89.0, 0.0, 256, 1.2),
    ("evening", 8.0, 0.0, 128, 1.1),
    ("evening", 89.0, 0.5, 256, 1.3),
    ("evening", 8.0, 0.5, 128, 1.0),
    ("evening", 89.0, 1.0, 256, 1.3),
    ("evening", 8.0, 1.0, 128, 1.0),
]


@pytest.mark.slow
@pytest.mark.parametrize(("mood", "gloss", "cover", "samples", "most"), FLAKED)
def test_flakes_under_a_coat_are_lit_as_the_path_tracer_lights_them(
    mi, bare, surface, mood, gloss, cover, samples, most
):
    """No flakes, half of the film and all of it."""
    floor = surface(gloss, tuple(FILM), tuple(FLAKES), cover)
    shown = ours(bare, FILM, alpha_of(gloss, INDEX), mood, FLAKES, cover)
    apart, ratio = compared(mi, bare, floor, mood, shown, samples)
    assert apart < most
    assert ratio == pytest.approx(1.0, abs=0.03)
