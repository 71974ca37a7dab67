"""Pictures of floors: what changes them, what must not, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import OutputError, PictureError
from kit.look.colour import difference, lab, rgb_of_bands, srgb_decoded, srgb_encoded
from kit.look.optics import fresnel_inside
from kit.look.paints import paints_for
from kit.look.picture import MOST_PX, Picture
from kit.look.relief import NO_GRIT
from kit.look.shade import painted
from kit.look.sheen import alpha_of
from kit.look.sight import above, in_room, swatch
from kit.look.stood import _lit
from kit.look.strip import flake_cover
from kit.look.tone import screen
from kit.pour.film import Film

pytestmark = [pytest.mark.jit, pytest.mark.picture]

SIZE = {"width_px": 160, "height_px": 120}


@pytest.fixture(scope="module")
def bay(pigments, tints):
    return paints_for(
        tuple(pigments[k] for k in ("gull_white", "kelp_teal", "lamp_soot")),
        tints["soot_black"],
    )


@pytest.fixture(scope="module")
def ember(pigments, tints):
    return paints_for(
        tuple(pigments[k] for k in ("hazel_brown", "wheat_ember", "lamp_soot")),
        tints["warm_black"],
    )


@pytest.fixture(scope="module")
def room(ell, pour):
    return in_room(pour(), ell, **SIZE)


@pytest.fixture(scope="module")
def plan_view(ell, pour):
    return above(pour(), ell, **SIZE)


def mean_change(one: Picture, other: Picture) -> float:
    return float(np.abs(one.rgb.astype(float) - other.rgb.astype(float)).mean())


@pytest.mark.parametrize("mood", ["day", "evening"])
def test_every_finish_changes_the_room(room, bay, finishes, mood):
    seen = {k: room.shown(bay, f, mood=mood) for k, f in finishes.items()}
    keys = list(seen)
    for i, one in enumerate(keys):
        for other in keys[i + 1 :]:
            assert mean_change(seen[one], seen[other]) > 0.05, (one, other)


def test_every_finish_changes_the_view_from_above(plan_view, bay, finishes):
    seen = [plan_view.shown(bay, f) for f in finishes.values()]
    for i, one in enumerate(seen):
        for other in seen[i + 1 :]:
            assert mean_change(one, other) > 0.05


def test_gloss_mirrors_the_window_and_matte_spreads_it(room, bay, finishes):
    """The brightest patch of the gloss floor is brighter, its darkest part darker."""
    rows = slice(60, 120)
    gloss = room.shown(bay, finishes["gloss"], index=1.55).rgb[rows].mean(axis=2)
    matte = room.shown(bay, finishes["matte"]).rgb[rows].mean(axis=2)
    assert np.percentile(gloss, 99) > np.percentile(matte, 99) + 3
    assert np.percentile(gloss, 5) <= np.percentile(matte, 5) + 2


def test_new_colours_and_sheen_never_ask_for_the_film_again(
    ell, bay, ember, finishes, pour
):
    floor = pour()
    for take in (above, in_room):
        sight = take(floor, ell, **SIZE)
        asked = floor.asked
        for paints in (bay, ember):
            for finish in finishes.values():
                sight.shown(paints, finish)
        assert floor.asked == asked


def test_another_palette_changes_the_floor(room, bay, ember, finishes):
    assert (
        mean_change(
            room.shown(bay, finishes["matte"]), room.shown(ember, finishes["matte"])
        )
        > 5
    )


@pytest.mark.parametrize("mood", ["day", "evening"])
@pytest.mark.parametrize("alpha", [0.002, 0.1, 0.3])
def test_a_room_shown_from_kept_light_is_the_room_as_it_is_lit(
    room, bay, ember, alpha, mood
):
    """Folding twice-touched light into once-touched moves no pixel by more than a hair."""
    for paints in (bay, ember):
        quick = room.view.shown(paints, alpha, 1.5, NO_GRIT, mood)
        slow = screen(*room.view.lit(paints, alpha, 1.5, NO_GRIT, mood))
        off = np.abs(quick.astype(float) - slow)
        assert off.mean() < 0.3
        assert off.max() <= 4


def test_evening_is_warmer_than_day(room, bay, finishes):
    day, evening = (
        room.shown(bay, finishes["satin"], mood=m).rgb.mean(axis=(0, 1))
        for m in ("day", "evening")
    )
    assert evening[0] / evening[2] > day[0] / day[2] + 0.05


def test_the_same_floor_gives_the_same_bytes(ell, bay, ember, finishes, pour):
    first = in_room(pour(), ell, **SIZE)
    wanted = first.shown(bay, finishes["gloss"]).png()
    _lit.cache_clear()
    second = in_room(pour(), ell, **SIZE)
    second.shown(ember, finishes["matte"], mood="evening")
    assert second.shown(bay, finishes["gloss"]).png() == wanted


def test_threads_change_nothing(ell, bay, finishes, pour):
    import numba

    wanted = above(pour(), ell, **SIZE).shown(bay, finishes["gloss"]).rgb
    threads = numba.get_num_threads()
    numba.set_num_threads(1)
    try:
        alone = above(pour(), ell, **SIZE).shown(bay, finishes["gloss"]).rgb
    finally:
        numba.set_num_threads(threads)
    assert np.array_equal(alone, wanted)


def test_the_whole_floor_lies_within_the_picture_true_to_scale(plan_view, ell):
    sheet, cover = plan_view.view.bare.sheet, plan_view.view.bare.cover
    assert cover[0].max() == cover[-1].max() == cover[:, 0].max() == cover[:, -1].max() == 0
    assert float(cover.sum()) * sheet.pixel_m**2 == pytest.approx(
        ell.surface.area, rel=0.01
    )


def test_more_samples_settle_towards_the_same_picture(ell, bay, finishes, pour):
    one, two, four = (
        above(pour(), ell, **SIZE, samples=n).shown(bay, finishes["matte"])
        for n in (1, 2, 4)
    )
    assert mean_change(two, four) < mean_change(one, four) + 0.05
    assert mean_change(two, four) < 2.0


def test_a_small_room_and_an_odd_one_are_seen_too(bay, finishes, cupboard, pour):
    picture = in_room(pour(), cupboard, width_px=64, height_px=96).shown(
        bay, finishes["gloss"]
    )
    assert picture.size_px == (64, 96)
    assert picture.rgb.std() > 5


def test_a_white_floor_in_white_light_returns_no_more_than_it_gets(pigments, tints):
    """Energy: body and face of any film, under an even white sky, at most one."""
    random = np.random.default_rng(2)
    count = 400
    shares = random.dirichlet(np.ones(3), count).T.astype(np.float32)
    veil = random.dirichlet(np.ones(3), count).T.astype(np.float32)
    film = Film(
        shares, random.uniform(0, 4, count).astype(np.float32), veil,
        random.uniform(0, 3, count).astype(np.float32), np.zeros((2, count), np.float32),
    )  # fmt: skip
    for keys in (
        ("gull_white", "thaw_ice", "dune_sand"),
        ("wheat_ember", "kettle_copper", "fjord_blue"),
    ):
        paints = paints_for(tuple(pigments[k] for k in keys), tints["slate_grey"])
        colours = painted(film, paints, 1.5)
        assert colours.min() >= 0.0
        luminance = (colours[:, 0:3] + 0.9 * colours[:, 3:6] + 0.3 * colours[:, 6:9]) @ [
            0.2126,
            0.7152,
            0.0722,
        ]
        assert luminance.max() <= 1.0


def test_the_quick_film_agrees_with_the_exact_one(pigments, tints):
    """Float32 body without flakes against `kubelka_munk`, through the coat's own losses."""
    paints = paints_for((pigments["kelp_teal"],), tints["warm_black"])
    thick = np.array([0.0, 0.1, 0.4, 1.0, 2.5], dtype=np.float32)
    one = np.ones((1, 5), dtype=np.float32)
    film = Film(one, thick, one, np.zeros(5, np.float32), np.zeros((2, 5), np.float32))
    ours = painted(film, paints, 1.5)[:, :3]
    inside = fresnel_inside(1.5)
    for i, t in enumerate(thick):
        r = paints.film_reflectance((1.0,), float(t))
        low, high = flake_cover(t, np.float32(0.0))
        body = (1.0 - low - high) * (1.0 - inside) * r / (1.0 - inside * r)
        assert ours[i] == pytest.approx(np.maximum(rgb_of_bands(body), 0.0), abs=2e-4)


def test_four_bands_tell_what_eight_do(pigments, tints):
    """Every mix and thickness of three pigments, by four bands and by all eight."""
    random = np.random.default_rng(4)
    paints = paints_for(
        tuple(pigments[k] for k in ("kettle_copper", "fjord_blue", "thaw_ice")),
        tints["soot_black"],
    )
    shares = random.dirichlet(np.full(3, 0.5), 200).T.astype(np.float32)
    thick = random.uniform(0.0, 2.0, 200).astype(np.float32)
    none = np.zeros(200, np.float32)
    ours = painted(Film(shares, thick, shares, none, np.zeros((2, 200))), paints, 1.5)
    inside = fresnel_inside(1.5)
    for i in range(200):
        r = paints.film_reflectance(shares[:, i].astype(float), float(thick[i]))
        low, high = flake_cover(thick[i], np.float32(0.0))
        body = (1.0 - low - high) * (1.0 - inside) * r / (1.0 - inside * r)
        exact = srgb_encoded(np.clip(rgb_of_bands(body), 0, 1))
        assert srgb_encoded(np.clip(ours[i, :3], 0, 1)) == pytest.approx(exact, abs=0.008)


def test_pigments_mix_as_matter_not_as_light(pigments, tints):
    """White and soot, one to one, are near black, far from the mean of both."""
    paints = paints_for(
        (pigments["gull_white"], pigments["lamp_soot"]), tints["soot_black"]
    )
    mixed = rgb_of_bands(paints.film_reflectance((0.5, 0.5), 4.0))
    ends = [rgb_of_bands(paints.film_reflectance(s, 4.0)) for s in ((1.0, 0.0), (0.0, 1.0))]
    assert float(difference(lab(mixed), lab(0.5 * (ends[0] + ends[1])))) > 10


def test_reflectance_value_orders_the_pigments(pigments, tints):
    def value(key: str) -> float:
        return paints_for((pigments[key],), tints["soot_black"]).light_reflectance_value(
            (1.0,)
        )

    assert (
        value("lamp_soot") < value("anvil_grey") < value("rain_grey") < value("gull_white")
    )
    assert 0.0 < value("lamp_soot") < 5.0
    assert 60.0 < value("gull_white") < 100.0


def test_a_chip_shows_its_colour(pigments, tints, finishes):
    for key in ("kelp_teal", "wheat_ember"):
        paints = paints_for((pigments[key],), tints["soot_black"])
        chip = swatch(paints, finishes["satin"], width_px=96, height_px=48)
        seen = lab(srgb_decoded(chip.rgb.mean(axis=(0, 1)) / 255))
        own = lab(np.clip(paints.face[0], 0, 1))
        turn = np.degrees(np.arctan2(seen[2], seen[1]) - np.arctan2(own[2], own[1]))
        assert abs((turn + 180) % 360 - 180) < 20


BAD = [
    ({"width_px": 8, "height_px": 100}, "width"),
    ({"width_px": 100, "height_px": float("nan")}, "height"),
    ({"width_px": True, "height_px": 100}, "width"),
    ({"width_px": 40_000, "height_px": 40_000}, f"at most {MOST_PX // 1_000_000} million"),
    ({"width_px": 100, "height_px": 100, "samples": 9}, "samples"),
]


@pytest.mark.parametrize(("size", "named"), BAD)
@pytest.mark.parametrize("take", [above, in_room])
def test_impossible_sizes_are_refused_by_name(ell, size, named, take, pour):
    with pytest.raises(PictureError, match=named):
        take(pour(), ell, **size)


def test_a_palette_that_does_not_fit_is_refused(room, pigments, tints, finishes):
    two = paints_for((pigments["gull_white"], pigments["lamp_soot"]), tints["soot_black"])
    with pytest.raises(PictureError, match="3 colours"):
        room.shown(two, finishes["gloss"])
    with pytest.raises(PictureError, match="mood"):
        room.shown(
            paints_for(
                tuple(pigments[k] for k in ("gull_white", "kelp_teal", "lamp_soot")),
                tints["soot_black"],
            ),
            finishes["gloss"],
            mood="noon",
        )
    with pytest.raises(PictureError, match="no pigment"):
        paints_for((), tints["soot_black"])


def test_a_picture_is_saved_whole_or_not_at_all(tmp_path):
    picture = Picture(np.full((20, 30, 3), 90, dtype=np.uint8))
    kept = picture.save(tmp_path / "floor.png", dpi=150)
    before = kept.read_bytes()
    assert before.startswith(b"\x89PNG")
    with pytest.raises(OutputError):
        picture.save(kept / "below" / "floor.png")
    blocked = tmp_path / "folder.png"
    blocked.mkdir()
    with pytest.raises(OutputError):
        picture.save(blocked)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["floor.png", "folder.png"]
    assert kept.read_bytes() == before
    with pytest.raises(PictureError, match="ending"):
        picture.save(tmp_path / "floor.gif")


def test_an_interrupted_write_keeps_the_old_picture(tmp_path, monkeypatch):
    picture = Picture(np.full((20, 30, 3), 90, dtype=np.uint8))
    target = picture.save(tmp_path / "floor.jpg")
    before = target.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("kit.writing.os.fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        Picture(np.zeros((20, 30, 3), dtype=np.uint8)).save(target)
    assert target.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["floor.jpg"]


def test_pictures_carry_nothing_but_pixels():
    from io import BytesIO

    from PIL import Image

    picture = Picture(np.full((20, 30, 3), 90, dtype=np.uint8))
    for content in (picture.png(), picture.jpeg()):
        image = Image.open(BytesIO(content))
        assert image.size == (30, 20)
        assert not image.getexif()
    with pytest.raises(PictureError):
        picture.jpeg(quality=0)
    with pytest.raises(PictureError):
        picture.png(dpi=float("inf"))


def test_gloss_is_the_smoothest_finish(finishes):
    alphas = {k: alpha_of(f.gloss_gu, 1.5) for k, f in finishes.items()}
    assert alphas["gloss"] < alphas["satin"] < alphas["matte"] <= alphas["matte_grip"]
