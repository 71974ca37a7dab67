"""One command that shows the floor near and far, in every finish, light and palette."""

from __future__ import annotations

import io
import tomllib

import numpy as np
import pytest
from PIL import Image
from sheets import PLAIN

from kit.cli import main, showing
from kit.job import Job, workup
from kit.shipped import shipped
from kit.stock import read_shelf

SMALL = 64


@pytest.mark.jit
@pytest.mark.picture
def test_a_showing_holds_every_picture_a_page_of_them_and_an_index(tmp_path, capsys):
    out = tmp_path / "showing"

    assert main(["showing", "--out", str(out), "--width", str(SMALL)]) == 0

    made = {p.name for p in out.iterdir()}
    wanted = {f"above-{feet}-ft.png" for feet in (8, 25, 80)}
    wanted |= {f"close-up-2-ft-{f}.png" for f in ("matte_grip", "satin", "gloss")}
    wanted |= {
        f"room-{where}-{f}.png"
        for where in ("day", "evening", "door", "wall")
        for f in ("matte", "satin", "gloss")
    }
    palettes = tomllib.loads(
        (shipped("demo_assets") / "palettes.toml").read_text(encoding="utf-8")
    )
    assert len(palettes) == 5
    wanted |= {
        f"palette-{key}-{view}.png" for key in palettes for view in ("above", "room")
    }
    assert made == wanted | {"contact-sheet.jpg", "index.txt"}
    seen = {}
    for name in wanted:
        with Image.open(out / name) as image:
            assert image.size == (SMALL, 40)
            seen[name] = image.tobytes()
    assert len(set(seen.values())) == len(seen), "two pictures are the same"
    index = (out / "index.txt").read_text(encoding="utf-8")
    assert all(f"\n{name} " in index for name in made - {"index.txt"})
    with Image.open(out / "contact-sheet.jpg") as page:
        assert page.size[0] == 2400
    assert "contact-sheet.jpg" in capsys.readouterr().out


def test_a_showing_says_what_is_wrong_before_it_draws(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(showing, "_taken", lambda *_: pytest.fail("drawn"))
    sheet = tmp_path / "den.toml"
    sheet.write_text(PLAIN.replace("gull_white", "unobtainium"), encoding="utf-8")
    occupied = tmp_path / "a-file"
    occupied.write_text("mine", encoding="utf-8")
    for words, named in (
        ([str(sheet), "--out", str(tmp_path / "x")], "color 2, pigment"),
        (["--out", str(occupied)], "found a file named a-file; expected a folder"),
        (["--out", str(tmp_path / "x"), "--width", "3"], "picture width"),
        (["--out", str(tmp_path / "x"), "--width", "90000"], "million"),
    ):
        assert main(["showing", *words]) == 2
        said = capsys.readouterr().err
        assert named in said
        assert said.count("\n") == 1
    assert occupied.read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "x").exists()


def test_a_showing_that_fails_half_way_leaves_nothing(tmp_path, capsys, monkeypatch):
    from kit.errors import PictureError

    taken = []

    def failing(shot, _pictures, size):
        if len(taken) == 3:
            raise PictureError("film", found="nothing", expected="a film")
        taken.append(shot)
        return _grey(size)

    monkeypatch.setattr(showing, "_taken", failing)
    out = tmp_path / "showing"

    assert main(["showing", "--out", str(out), "--width", str(SMALL)]) == 2
    assert list(out.iterdir()) == []


def test_a_full_disk_leaves_nothing_of_a_showing(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(showing, "_taken", lambda _shot, _pictures, size: _grey(size))
    written = []

    def full(*_):
        written.append(1)
        if len(written) > 4:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr("kit.writing.os.fsync", full)
    out = tmp_path / "showing"

    assert main(["showing", "--out", str(out), "--width", str(SMALL)]) == 2
    assert "No space left" in capsys.readouterr().err
    assert list(out.iterdir()) == []


def test_the_palettes_and_the_hall_stand_on_the_shelf():
    shelf = read_shelf()
    hall = Job.from_sheet(shipped("demo_assets") / "netloft.toml")
    assert 3900 < workup(hall).offer.area_sqft < 4000
    text = (shipped("demo_assets") / "palettes.toml").read_text(encoding="utf-8")
    palettes = tomllib.loads(text).values()
    for palette in palettes:
        shares = [c["share"] for c in palette["color"]]
        assert sum(shares) == pytest.approx(1.0)
        assert len(set(shares)) > 1
        assert shelf.tint(palette["seal"])
    assert {len(p["color"]) for p in palettes} == {2, 3, 4, 5, 6}
    assert {p["seal"] for p in palettes} == {tint.key for tint in shelf.tints}


def _grey(size):
    from kit.look.picture import Picture

    return Picture(np.full((size[1], size[0], 3), 120, dtype=np.uint8))


def test_a_part_of_the_floor_is_rendered(tmp_path, capsys):
    sheet = tmp_path / "den.toml"
    sheet.write_text(PLAIN, encoding="utf-8")
    asked = ["render", str(sheet), "--size=64x48", "--view", "above"]
    out = tmp_path / "near.png"

    assert main([*asked, "--wide", "8 ft", "--out", str(out)]) == 0
    with Image.open(io.BytesIO(out.read_bytes())) as image:
        assert image.size == (64, 48)
    out.unlink()
    for words, named in (
        (["--at", "1'", "1'"], "--at: found no --wide"),
        (["--wide", "8"], "--wide"),
        (["--wide", "8 ft", "--at", "900'", "2'"], "middle of the view"),
        (["--wide", "8 ft", "--view", "room"], "--wide, --at"),
    ):
        assert main([*asked, *words, "--out", str(out)]) == 2
        assert named in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize("view", ["doorway", "wall"])
def test_every_standing_view_is_rendered(tmp_path, capsys, view):
    """Not from above: sky, walls and floor differ from the plan-true picture."""
    sheet = shipped("demo_assets") / "boathouse.toml"
    asked = ["render", str(sheet), "--size=96x60"]
    for name in (view, "above"):
        assert main([*asked, "--view", name, "--out", str(tmp_path / f"{name}.png")]) == 0
    seen, above = (
        np.asarray(Image.open(tmp_path / f"{name}.png")).astype(int)
        for name in (view, "above")
    )
    assert np.abs(seen - above).mean() > 10
