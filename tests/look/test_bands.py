"""Pictures from above made a band of rows at a time, and parts of the floor."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from floors import hall_pictures
from PIL import Image

from kit.errors import OutputError, PictureError
from kit.look.above import view_band
from kit.look.colour import srgb_decoded, srgb_encoded
from kit.look.paints import paints_for
from kit.look.picture import MOST_BANDED_PX, Picture
from kit.look.png import png_pieces
from kit.look.sheet import Part, fitted, wall_shade
from kit.look.sight import Sight, above, above_in_bands
from kit.pour.places import patch_px
from kit.units import M_PER_FT
from kit.writing import write_file

pytestmark = pytest.mark.jit
ROOT = Path(__file__).parents[2]
SIZE = {"width_px": 320, "height_px": 200}


@pytest.fixture(scope="module")
def bay(pigments, tints):
    keys = ("gull_white", "kelp_teal", "lamp_soot")
    return paints_for(tuple(pigments[k] for k in keys), tints["soot_black"])


@pytest.fixture(scope="module")
def poured(demo_job, demo_workup):
    from kit.pour.poured import PouredFloor

    return PouredFloor(demo_job.recipe, demo_workup.plan)


@pytest.mark.parametrize("samples", [1, 2])
@pytest.mark.parametrize("part", [None, Part(2.4, 2.9, 8 * M_PER_FT)])
def test_bands_stacked_are_the_whole_to_the_last_bit(
    poured, demo_workup, bay, finishes, samples, part, monkeypatch
):
    monkeypatch.setattr("kit.look.sight.BAND_PLACES", 20_000)
    asked = {**SIZE, "samples": samples, "part": part}
    whole = above(poured, demo_workup.plan, **asked).shown(bay, finishes["gloss"]).rgb
    bands = [
        sight.shown(bay, finishes["gloss"]).rgb
        for sight in above_in_bands(poured, demo_workup.plan, **asked)
    ]

    assert len(bands) > 2
    assert np.array_equal(np.concatenate(bands), whole)


def test_a_part_is_what_the_whole_shows_there(poured, demo_workup, bay, finishes):
    """The same place, looked at twice as close and brought back to one scale."""
    plan = demo_workup.plan
    wide = above(poured, plan, width_px=640, height_px=400, samples=4)
    sheet = wide.view.bare.sheet
    near = Part(2.5, 2.5, 160 * sheet.pixel_m)
    column = round((near.east_m - sheet.west_m) / sheet.pixel_m) - 80
    row = round((sheet.north_m - near.north_m) / sheet.pixel_m) - 50
    snapped = Part(
        sheet.west_m + (column + 80) * sheet.pixel_m,
        sheet.north_m - (row + 50) * sheet.pixel_m,
        near.wide_m,
    )
    close = above(poured, plan, width_px=160, height_px=100, samples=4, part=snapped)
    matte = finishes[
        "matte"
    ]  # the panes hang in proportion to the picture; matte hides them
    there = wide.shown(bay, matte).rgb[row : row + 100, column : column + 160]
    off = np.abs(close.shown(bay, matte).rgb.astype(float) - there)
    assert off.mean() < 6


@pytest.mark.parametrize("finish", ["matte", "gloss"])
def test_a_floor_is_the_same_at_20_and_at_80_pixels_a_foot(
    poured, demo_workup, bay, finishes, finish
):
    """Eight feet of floor, both seen sixteen times a twentieth of a foot."""
    plan, part = demo_workup.plan, Part(2.5, 2.5, 8 * M_PER_FT)
    coarse = above(poured, plan, width_px=160, height_px=100, samples=4, part=part)
    fine = above(poured, plan, width_px=640, height_px=400, samples=1, part=part)
    shown = [s.shown(bay, finishes[finish]).rgb / 255.0 for s in (coarse, fine)]
    light = srgb_decoded(shown[1]).reshape(100, 4, 160, 4, 3).mean(axis=(1, 3))
    off = np.abs(srgb_encoded(light) - shown[0]) * 255.0
    assert off.mean() < 2.0


@pytest.mark.parametrize(
    ("part", "named"),
    [
        (Part(2.0, 2.0, 0.0), "width of the view"),
        (Part(2.0, 2.0, float("nan")), "width of the view"),
        (Part(2.0, 2.0, 5000.0), "width of the view"),
        (Part(500.0, 2.0, 3.0), "middle of the view"),
        (Part(float("inf"), 2.0, 3.0), "middle of the view"),
    ],
)
def test_parts_that_show_no_floor_are_refused_by_name(poured, demo_workup, part, named):
    with pytest.raises(PictureError, match=named):
        above(poured, demo_workup.plan, **SIZE, part=part)


def test_walls_shade_a_place_alike_in_any_picture(ell):
    """Light at the foot of the walls, 8 mm and 24 mm a pixel."""
    fine, coarse = fitted(ell, 1200, 900), fitted(ell, 400, 300)
    one = wall_shade(ell.surface, fine).on(fine).reshape(300, 3, 400, 3).mean(axis=(1, 3))
    two = wall_shade(ell.surface, coarse).on(coarse)
    assert np.abs(one - two).mean() < 0.004
    assert np.abs(one - two).max() < 0.08


def test_png_by_bands_reads_back_as_it_was():
    random = np.random.default_rng(3)
    rgb = random.integers(0, 256, (61, 40, 3), dtype=np.uint8)
    pieces = b"".join(png_pieces(40, 61, (rgb[k : k + 16] for k in range(0, 61, 16))))
    assert np.array_equal(np.asarray(Image.open(io.BytesIO(pieces))), rgb)


def test_a_picture_that_fails_half_way_leaves_nothing(tmp_path):
    band = np.zeros((16, 40, 3), dtype=np.uint8)

    def failing():
        yield band
        raise PictureError("film", found="nothing", expected="a film")

    old = Picture(band).save(tmp_path / "floor.png").read_bytes()
    with pytest.raises(PictureError):
        write_file(tmp_path / "floor.png", png_pieces(40, 32, failing()))
    assert [p.name for p in tmp_path.iterdir()] == ["floor.png"]
    assert (tmp_path / "floor.png").read_bytes() == old


def test_a_full_disk_leaves_nothing_of_a_picture_in_bands(tmp_path):
    def pieces():
        yield b"one"
        raise OSError(28, "No space left on device")

    with pytest.raises(OutputError, match="No space left"):
        write_file(tmp_path / "floor.png", pieces())
    assert list(tmp_path.iterdir()) == []


def test_a_print_too_large_is_refused_with_the_limit_before_anything_is_poured(ell, pour):
    floor = pour()
    with pytest.raises(
        PictureError, match=f"at most {MOST_BANDED_PX // 1_000_000} million"
    ):
        above_in_bands(floor, ell, width_px=30_000, height_px=30_000)
    assert floor.asked == 0


_PRINT = """
import resource, sys
from pathlib import Path
from kit.look.png import png_pieces
from kit.writing import write_file
{pictures}
wide, high = int(sys.argv[1]), int(sys.argv[2])
bands = pictures.bands("satin", width_px=wide, height_px=high)
write_file(Path(sys.argv[3]), png_pieces(wide, high, bands))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""
_BOATHOUSE = """
from kit.job import Job, Pictures
from kit.plan import lay_out
job = Job.from_sheet("demo_assets/boathouse.toml")
pictures = Pictures(job.recipe, lay_out(job.site))
"""
_HALL = """
from floors import hall_pictures
pictures = hall_pictures()
"""


def peak_mib(wide: int, high: int, out: Path, pictures: str = _BOATHOUSE) -> float:
    """Peak memory of a process that writes a picture of this size."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            _PRINT.format(pictures=pictures),
            str(wide),
            str(high),
            str(out),
        ],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'tests'}"},
        capture_output=True,
        text=True,
        check=True,
    )
    with Image.open(out) as image:
        assert image.size == (wide, high)
    return float(re.findall(r"[\d.]+", done.stdout)[-1])


@pytest.mark.parametrize(
    ("small", "large"),
    [
        ((2000, 1250), (4000, 2500)),
        pytest.param((4000, 2500), (8000, 5000), marks=pytest.mark.slow),
    ],
)
def test_four_times_the_picture_takes_no_more_memory(tmp_path, small, large, monkeypatch):
    """Within 80 MiB; all of the smaller one's larger twin would be 400 MB of film."""
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", None)
    peaks = [peak_mib(*size, tmp_path / "print.png") for size in (small, large)]
    assert peaks[1] < peaks[0] + 80


@pytest.mark.slow
def test_a_hall_of_4000_square_feet_is_written_at_80_megapixels_in_little_memory(
    tmp_path, finishes, monkeypatch
):
    """A fresh process peaks within a tenth of what an eighth of the picture takes.

    Whole patches that lie across the writer's bands are made anew, by themselves, and
    found in the file to the last bit.
    """
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", None)
    small, large = (4000, 2500), (11_314, 7_071)
    out = tmp_path / "hall.png"
    peaks = [peak_mib(*size, out, _HALL) for size in (small, large)]
    assert peaks[1] < 1.1 * peaks[0]

    pictures = hall_pictures()
    sheet = fitted(pictures.plan, *large)
    shade = wall_shade(pictures.plan.surface, sheet)
    with Image.open(out) as image:
        patch = patch_px(sheet.pixel_m)
        rows = 2 * patch
        for first in (2 * patch, 45 * patch, 85 * patch):
            band = view_band(
                pictures.poured, pictures.plan, sheet.band(first, rows), 1, shade
            )
            rgb = Sight(band).shown(pictures.paints, finishes["satin"]).rgb
            written = np.asarray(image.crop((0, first, large[0], first + rows)))
            assert np.array_equal(rgb, written)
    out.unlink()
