"""Textures of a view, shaded by plain numpy, are the picture that the kit itself shows."""

import numpy as np
import pytest

from kit.job import Job, Pictures, workup
from kit.look.colour import srgb_encoded
from kit.look.layers import (
    coat_layer,
    film_layer,
    form_of,
    light_layer,
    optics_of,
    shared_exponent,
)
from kit.look.relief import grit_of
from kit.look.sheen import alpha_of
from kit.shipped import shipped

SIZE = {"width_px": 160, "height_px": 112}
MATTE_GLOSS_GRIP = ("matte", "gloss", "matte_grip")


@pytest.fixture(scope="module")
def pictures():
    job = Job.from_sheet(shipped("demo_assets") / "boathouse.toml")
    return Pictures(job.recipe, workup(job).plan)


def unpacked(packed):
    """[OpenGLES3] 3.8.3.2: value = mantissa times two to the exponent less 24."""
    power = 2.0 ** ((packed >> 27).astype(float) - 15 - 9)
    return np.stack([(packed >> (9 * c) & 511) * power for c in range(3)], axis=-1)


def shaded(form, optics, tint, film, light, coat):
    """Eight-bit sRGB (H, W, 3): the sum at the head of `kit.look.layers`, by the book."""
    n = form["colors"]
    lower = np.concatenate([s[..., :2] for s in film.shares], axis=-1)[..., : n - 1]
    upper = np.concatenate([s[..., 2:] for s in film.shares], axis=-1)[..., : n - 1]
    lower, upper = (
        np.concatenate([s, 1.0 - s.sum(-1, keepdims=True)], axis=-1)
        for s in (lower.astype(float), upper.astype(float))
    )
    thick, veil = film.build[..., 0].astype(float), film.build[..., 1].astype(float)
    table = {
        name: np.array([p[name] for p in optics["pigments"]])
        for name in ("k", "s", "face", "flop")
    }
    under = _laid(lower @ table["k"], lower @ table["s"], thick, np.array(tint))
    top = _laid(upper @ table["k"], upper @ table["s"], form["veilWeight"] * veil, under)
    top = top / (1.0 - form["inside"] * top)
    low = form["flakeShare"] * (1 - np.exp(-1.5 * thick**2)) * np.exp(-0.9 * veil)
    high = form["flakeShare"] * 0.55 * (1 - np.exp(-1.1 * veil))
    body = (1 - form["inside"]) * (1 - low - high)[..., None]
    body = body * np.maximum(top @ np.array(optics["toRgb"]).T, 0.0)
    cover = low[..., None] * lower + high[..., None] * upper
    face, flop = cover @ table["face"], cover @ table["flop"]
    met, even = unpacked(light.mirrored), unpacked(light.even)
    if form["shape"] == "above":
        lit = form["body"] * body + met[..., :1] * face + met[..., 1:2] * flop
        lit = lit * met[..., 2:] * np.array(form["warmth"]) * form["through"]
    else:
        mirrored = form["faceShare"] * face
        sent = _sent_later(form, body, mirrored, (low + high)[..., None])
        lit = (sent + form["flopShare"] * flop) * even + form["straight"] * mirrored * met
    seen = lit * (coat.passes[..., None] / 255.0) + unpacked(coat.light)
    return _screened(seen * form["exposure"], form["power"], form["soft"])


def _sent_later(form, body, mirrored, cover):
    straight, later, inside = form["straight"], form["later"], form["inside"]
    at_once, bare, leaves = form["atOnce"] * straight, 1.0 - cover, 1.0 - inside
    some = np.maximum(bare * leaves + inside * body, 1e-6)
    back = inside * bare * body
    again = back + (1.0 - at_once) * mirrored * some
    rest = some - back - (1.0 - later) * mirrored * some
    first = leaves * bare * body * (1.0 + (later - at_once) * mirrored)
    return (first + later * mirrored * again) / rest


def _laid(k, s, thick, ground):
    a = k + s
    z = np.sqrt(np.maximum((a - s) * (a + s), 1e-12))
    t = np.tanh(z * thick[..., None]) / z
    return (t * (s - ground * a) + ground) / (t * (a - ground * s) + 1.0)


def _screened(light, power, soft):
    y = np.maximum(light @ np.array([0.2126, 0.7152, 0.0722]), 1e-7)
    t = 1.0 - np.exp(-((y / (1.0 + soft * y)) ** power))
    rgb = light * (t / y)[..., None]
    over = rgb.max(axis=-1)
    keep = np.where(over > 1.0, (1.0 - t) / np.maximum(over - t, 1e-9), 1.0)
    rgb = t[..., None] + (rgb - t[..., None]) * keep[..., None]
    return np.floor(srgb_encoded(np.clip(rgb, 0.0, 1.0)) * 255.0 + 0.5)


@pytest.mark.picture
@pytest.mark.jit
@pytest.mark.parametrize("mood", ["day", "evening"])
@pytest.mark.parametrize("key", MATTE_GLOSS_GRIP)
@pytest.mark.parametrize("where", ["above", "room"])
def test_layers_shaded_by_the_book_are_the_picture(pictures, where, key, mood):
    finish = pictures.shelf.finish(key)
    index = pictures.shelf.product(finish.product).index
    picture = pictures.shown(where, key, mood=mood, **SIZE).rgb.astype(float)
    view = pictures.sight(where, **SIZE).view
    paints = pictures.paints
    alpha = alpha_of(finish.gloss_gu, index)
    coat = coat_layer(view, paints, alpha, index, grit_of(finish), mood)
    again = shaded(
        form_of(view, alpha, index, mood), optics_of(paints), paints.ground,
        film_layer(view), light_layer(view, paints, alpha, index, mood), coat,
    )  # fmt: skip
    apart = np.abs(again - picture)
    assert apart.mean() < 0.8
    assert np.percentile(apart, 99) <= 5.0


@pytest.mark.jit
def test_light_is_packed_to_two_parts_in_a_thousand_of_its_strongest_color():
    light = np.random.default_rng(5).lognormal(0.0, 3.0, (4000, 3)).astype(np.float32)
    again = unpacked(shared_exponent(light))
    strongest = light.max(axis=1)
    assert np.all(np.abs(again - light).max(axis=1) <= 1.96e-3 * strongest)
    assert np.all(unpacked(shared_exponent(np.zeros((1, 3), np.float32))) == 0.0)


@pytest.mark.jit
def test_light_just_below_a_power_of_two_does_not_spill_into_its_neighbor():
    light = np.array([[0.99999, 0.5, 0.25], [1.9999, 1e-9, 0.1]], np.float32)
    assert np.allclose(unpacked(shared_exponent(light)), light, atol=2e-3)


@pytest.mark.picture
@pytest.mark.jit
def test_a_view_of_several_samples_a_pixel_is_refused(pictures):
    view = pictures.sight("above", **SIZE, samples=2).view
    with pytest.raises(ValueError, match="4 samples"):
        film_layer(view)
