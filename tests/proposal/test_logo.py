"""A firm's own mark and color: good files, bad files, and none."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from PIL import Image

from kit.errors import PaperError
from kit.press.logo import read_logo
from kit.proposal import propose

SHAPES = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 40">'
    "<title>Mark</title>{}<path d='M0 0H120V40H0Z' fill='#246'/></svg>"
)


def saved(path, mode="RGB", size=(300, 100), kind="PNG", **how):
    Image.new(mode, size, 0).save(path, kind, **how)
    return path


@pytest.mark.parametrize(
    ("mode", "kind"),
    [("RGB", "PNG"), ("RGBA", "PNG"), ("P", "PNG"), ("RGB", "JPEG"), ("CMYK", "JPEG")],
)
def test_any_usual_picture_becomes_plain_pixels(tmp_path, mode, kind):
    logo = read_logo(saved(tmp_path / "mark", mode, kind=kind), alt="Mark")
    with Image.open(BytesIO(logo.image)) as image:
        assert (image.mode, image.size, image.info) == ("RGB", (300, 100), {})
    assert (logo.kind, logo.aspect) == ("png", 3.0)


def test_what_a_picture_says_of_its_maker_is_not_kept(tmp_path):
    exif = Image.Exif()
    exif[0x013B] = "someone"
    path = saved(tmp_path / "mark.jpg", kind="JPEG", exif=exif, comment=b"/home/someone")
    assert b"someone" not in read_logo(path, alt="Mark").image


def test_a_large_logo_is_made_as_small_as_it_is_printed(tmp_path):
    logo = read_logo(saved(tmp_path / "mark.png", size=(4000, 2000)), alt="Mark")
    with Image.open(BytesIO(logo.image)) as image:
        assert image.size == (900, 450)


def cut_short(path):
    saved(path, size=(500, 300), kind="JPEG")
    path.write_bytes(path.read_bytes()[:-400])


def huge(path):
    saved(path, "1", size=(10_000, 6_001))


BAD = {
    "cut short": (cut_short, "a whole JPEG or PNG"),
    "of 60 million pixels and more": (huge, r"10000 x 6001 pixels; expected at most"),
    "no picture": (lambda p: p.write_bytes(b"GIF89a"), "a whole JPEG or PNG"),
    "empty": (lambda p: p.write_bytes(b""), "a whole JPEG or PNG"),
    "a rule": (lambda p: saved(p, size=(900, 10)), "at most 20 times the other"),
    "not there": (lambda _: None, "No such file"),
    "broken shapes": (lambda p: p.write_text("<svg "), "no SVG"),
    "shapes of no size": (lambda p: p.write_text("<svg></svg>"), "no size"),
    "a script": (lambda p: p.write_text(SHAPES.format("<script/>")), "<script> in it"),
    "text": (lambda p: p.write_text(SHAPES.format("<text>A</text>")), "<text> in it"),
    "a picture": (lambda p: p.write_text(SHAPES.format("<image/>")), "<image> in it"),
    "a link": (
        lambda p: p.write_text(SHAPES.format("<use href='file:///etc/passwd'/>")),
        "a link in it",
    ),
    "a link in its style": (
        lambda p: p.write_text(SHAPES.format("<rect style='fill:url(http://x.y/z)'/>")),
        "a link in it",
    ),
    "entities": (
        lambda p: p.write_text('<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "b">]><svg/>'),
        "declarations in it",
    ),
}


@pytest.mark.parametrize("fault", BAD)
def test_a_bad_logo_is_named_without_its_folder(tmp_path, fault):
    make, told = BAD[fault]
    path = tmp_path / "mark.any"
    make(path)
    with pytest.raises(PaperError, match=told) as caught:
        read_logo(path, alt="Mark")
    assert caught.value.line.startswith("firm, logo mark.any: found")
    assert str(tmp_path) not in str(caught.value)


@pytest.mark.paper
@pytest.mark.parametrize("kind", ["png", "svg"])
def test_the_logo_stands_on_the_cover_with_its_words(make_view, tmp_path, kind):
    path = tmp_path / f"mark.{kind}"
    if kind == "png":
        saved(path, "RGBA")
    else:
        path.write_text(SHAPES.format(""))
    logo = read_logo(path, alt="Logo of Oddny Tarn")
    pdf = propose(make_view(firm=replace(make_view().firm, logo=logo)))
    assert propose(make_view(firm=replace(make_view().firm, logo=logo))) == pdf
    with pikepdf.open(BytesIO(pdf)) as document:
        alts = [
            str(thing.Alt)
            for thing in document.objects
            if isinstance(thing, pikepdf.Dictionary) and "/Alt" in thing
        ]
    assert "Logo of Oddny Tarn" in alts


@pytest.mark.paper
def test_the_color_of_the_firm_goes_before_that_of_the_floor(make_view):
    from kit.proposal.compose import compose

    own = compose(make_view(accent="#ffcc00")).files["house.json"]
    assert b'"fill": "#ffcc00"' in own
    assert b'"accent": "#ffcc00"' not in own  # darkened until it reads on white
    assert b'"fill": "#b87333"' in compose(make_view()).files["house.json"]
