"""Text and pictures before they are printed: what goes, what stays, what is refused."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image

from kit.errors import PaperError
from kit.press.cleaning import clean_text, cleaned, printed_jpeg
from kit.press.gate import jpeg_markers
from kit.press.page import Picture
from kit.press.showing import rewritten, texts


def clean(given: str, limit: int = 120) -> str:
    return clean_text(given, about="client, name", limit=limit)


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("tab\there\nand\r\nthere", "tab here and there"),
        ("bell\x07 null\x00 escape\x1b[31m", "bell null escape[31m"),
        ("picture gnp.\u202eexe\u202c", "picture gnp.exe"),
        ("marks \u200e\u200f\u2066x\u2069 gone", "marks x gone"),
        ("lone \ud800 surrogate", "lone surrogate"),
        ("private \ue000 and unassigned \u0378", "private and unassigned"),
        ("e\u0301tude", "\u00e9tude"),
        ("no\u00a0break and soft\u00adhyphen", "no\u00a0break and soft\u00adhyphen"),
        ("  edges  and   runs ", "edges and runs"),
    ],
)
def test_what_cannot_be_seen_is_dropped_and_the_rest_kept(given, printed):
    assert clean(given) == printed


@pytest.mark.parametrize(
    "name",
    ["Zoë Ångström", "Đặng Thị Hồng", "Łukasz Żółć", "Ευγενία", "Мария", "20′ 6½″ × 4 − 2"],
)
def test_names_of_many_scripts_are_printed_as_they_are(name):
    assert clean(name) == unicodedata.normalize("NFC", name)


@pytest.mark.parametrize(("letter", "called"), [("😀", "GRINNING FACE"), ("ខ", "KHMER")])
def test_a_missing_glyph_is_named_with_its_field(letter, called):
    with pytest.raises(
        PaperError, match=rf"client, name.*{letter}.*U\+[0-9A-F]{{4}}.*"
    ) as caught:
        clean(f"Floor {letter}")
    assert called in str(caught.value)


def test_every_text_field_names_itself_when_it_cannot_be_printed(full_view):
    for field, _ in texts(full_view):

        def spoil(where: str, given: str, _: int, field: str = field) -> str:
            return "漢" if where == field else given

        with pytest.raises(PaperError) as caught:
            cleaned(rewritten(full_view, spoil))
        assert caught.value.about == field


def test_every_text_field_refuses_ten_thousand_characters(full_view):
    for field, _ in texts(full_view):

        def lengthen(where: str, given: str, _: int, field: str = field) -> str:
            return "x" * 10_000 if where == field else given

        with pytest.raises(PaperError, match="10,000 characters") as caught:
            cleaned(rewritten(full_view, lengthen))
        assert caught.value.about == field


def encoded(image: Image.Image, form: str = "JPEG", **how: object) -> bytes:
    out = BytesIO()
    image.save(out, form, **how)
    return out.getvalue()


def test_a_picture_leaves_without_description_or_profile(marbled_jpeg):
    exif = Image.Exif()
    exif[0x013B] = "CANARY author"
    given = marbled_jpeg(
        exif=exif, icc_profile=b"CANARY profile", comment=b"CANARY comment"
    )
    assert given.count(b"CANARY") == 3
    jpeg, _ = printed_jpeg(Picture(given, "x"), about="cover")
    assert b"CANARY" not in jpeg
    assert not set(jpeg_markers(jpeg)) & {0xE1, 0xE2, 0xED, 0xFE}
    assert 0xC0 in jpeg_markers(jpeg), "baseline, not progressive"


def test_a_picture_lying_on_its_side_is_put_upright():
    exif = Image.Exif()
    exif[0x0112] = 6
    given = encoded(Image.new("RGB", (60, 30), "navy"), exif=exif)
    assert printed_jpeg(Picture(given, "x"), about="cover")[1] == (30, 60)


@pytest.mark.parametrize("mode", ["CMYK", "L", "1", "P", "RGBA"])
def test_pictures_of_any_mode_become_plain_colour(mode):
    given = encoded(Image.new(mode, (40, 30)), "JPEG" if mode == "CMYK" else "PNG")
    jpeg, size = printed_jpeg(Picture(given, "x"), about="cover")
    with Image.open(BytesIO(jpeg)) as image:
        assert (image.mode, size) == ("RGB", (40, 30))


def test_what_is_transparent_is_white_on_paper():
    given = encoded(Image.new("RGBA", (40, 30), (255, 0, 0, 0)), "PNG")
    jpeg, _ = printed_jpeg(Picture(given, "x"), about="cover")
    with Image.open(BytesIO(jpeg)) as image:
        assert min(image.getpixel((20, 15))) > 250


def test_a_crop_and_a_width_are_kept_to(marbled_jpeg):
    whole = Picture(marbled_jpeg(400, 200), "x", crop=(0.25, 0.0, 0.75, 1.0), widest_px=100)
    assert printed_jpeg(whole, about="cover")[1] == (100, 100)


@pytest.mark.parametrize(
    "spoil",
    [lambda b: b[: len(b) // 2], lambda b: b[:0], lambda b: b"GIF89a" + b, lambda b: b[9:]],
)
def test_a_broken_picture_is_refused_by_name(marbled_jpeg, spoil):
    with pytest.raises(PaperError, match=r"cover, picture.*whole JPEG or PNG"):
        printed_jpeg(Picture(spoil(marbled_jpeg()), "x"), about="cover, picture")


def test_a_picture_of_too_many_pixels_is_refused_before_it_is_unpacked():
    given = encoded(Image.new("1", (9000, 9000)), "PNG")
    with pytest.raises(PaperError, match="9000 x 9000 pixels"):
        printed_jpeg(Picture(given, "x"), about="cover")


def test_a_cleaned_view_is_the_same_view(full_view):
    assert cleaned(full_view) == full_view
    assert cleaned(replace(full_view, flow=" two  spaces ")).flow == "two spaces"
