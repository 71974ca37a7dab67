"""A firm's own typeface: good files, bad files, and what its maker does not allow."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import matplotlib as mpl
import pikepdf
import pytest
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

from kit.errors import PaperError
from kit.press.ownface import read_face
from kit.proposal import propose

SANS = Path(mpl.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"


def permitted(folder: Path, bits: int) -> Path:
    """The typeface with other permission bits."""
    path = folder / "own.ttf"
    with TTFont(SANS) as font:
        font["OS/2"].fsType = bits
        font.save(path)
    return path


# OS/2 fsType as the OpenType specification has it, from memory
@pytest.mark.parametrize("bits", [0x0000, 0x0004, 0x0008])
def test_a_typeface_that_may_be_embedded_is_read(tmp_path, bits):
    assert read_face(permitted(tmp_path, bits), needed=["Año 1"]).family == "DejaVu Sans"


@pytest.mark.parametrize(
    ("bits", "said"),
    [
        (0x0002, "embedding forbidden"),
        (0x0104, "embedding in part forbidden"),
        (0x0200, "only its bitmaps"),
    ],
)
def test_what_its_maker_forbids_is_refused_in_words(tmp_path, bits, said):
    with pytest.raises(PaperError, match=f"firm, font own.ttf.*{said}") as caught:
        read_face(permitted(tmp_path, bits), needed=())
    assert str(tmp_path) not in str(caught.value)


def test_a_letter_that_it_lacks_is_named(tmp_path):
    path = tmp_path / "plain.ttf"
    with TTFont(SANS) as font:
        cut = Subsetter(Options())
        cut.populate(text="abcdefghijklmnopqrstuvwxyz")
        cut.subset(font)
        font.save(path)
    read_face(path, needed=["a\u00a0b\u202fc"])  # spaces are no letters
    with pytest.raises(PaperError, match=r"no ñ \(U\+00F1\)"):
        read_face(path, needed=["año"])


@pytest.mark.parametrize("keep", [0, 3, 100, 5_000, 100_000])
def test_a_file_cut_short_is_refused(tmp_path, keep):
    path = tmp_path / "cut.ttf"
    path.write_bytes(SANS.read_bytes()[:keep])
    with pytest.raises(PaperError, match=r"firm, font cut\.ttf"):
        read_face(path, needed=["a"])


def test_a_file_that_is_not_there_or_no_typeface_is_refused(tmp_path):
    (tmp_path / "words.txt").write_text("words")
    for name in ("absent.ttf", "words.txt"):
        with pytest.raises(PaperError, match=f"firm, font {name}"):
            read_face(tmp_path / name, needed=())


@pytest.mark.paper
def test_the_paper_is_set_in_it_and_in_ours_where_it_has_no_letter(make_view):
    face = read_face(SANS, needed=())
    pdf = propose(make_view(face=face))

    with pikepdf.open(BytesIO(pdf)) as paper:
        named = {
            str(font.BaseFont).partition("+")[2]
            for page in paper.pages
            for font in page.resources.get("/Font", {}).values()
        }
    assert any("DejaVu" in name for name in named)
    assert any("IBMPlex" in name for name in named)  # drawings, and lines of our widths
    assert propose(make_view(face=face)) == pdf
    assert propose(replace(make_view(), face=None)) != pdf


def test_a_sheet_names_it_beside_itself(tmp_path):
    from kit.job import Job
    from kit.shipped import shipped

    sheet = (shipped("demo_assets") / "boathouse.toml").read_text(encoding="utf-8")
    named = sheet.replace('licence = ""', 'licence = ""\nfont = "own.ttf"', 1)
    (tmp_path / "job.toml").write_text(named, encoding="utf-8")
    assert Job.from_sheet(tmp_path / "job.toml").firm.font == str(tmp_path / "own.ttf")
