"""The command line: what it prints, what it writes, and what it refuses."""

import json
import os
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from sheets import PLAIN

from kit.cli import main

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _own_book(tmp_path_factory, monkeypatch):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path_factory.mktemp("book") / "book.sqlite"))


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "den.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return path


def test_price_json_holds_what_is_promised(sheet, capsys):
    assert main(["price", str(sheet), "--json"]) == 0

    bid = json.loads(capsys.readouterr().out)
    lines = sum(Decimal(line["amount"]) for line in bid["lines"])
    assert lines == Decimal(bid["total"])
    assert all(re.fullmatch(r"-?\d+\.\d\d", o["total"]) for o in bid["options"])
    assert {"finish", "total", "price_per_sqft", "difference"} <= bid["options"][0].keys()
    assert float(bid["area_sqft"]) == pytest.approx(349.5, abs=0.01)
    per = Decimal(bid["total"]) / Decimal(str(bid["area_sqft"]))
    assert abs(per - Decimal(bid["price_per_sqft"])) <= Decimal("0.005")


def test_price_reads_as_a_table(sheet, capsys):
    assert main(["price", str(sheet)]) == 0

    said = capsys.readouterr().out
    assert "Per sq ft" in said
    assert "Gloss" in said


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("E 20'", "E 900'", 'room "Den", wall 1'),
        ("E 20'", "E 0'", 'room "Den", wall 1'),
        ("E 20'", "E 21'", 'room "Den", walls'),
        ("E 20'", "E 20 blarg", 'room "Den", wall 1'),
        ('width = "3\'"', 'width = "19\'"', "doorway"),
        ("share = 0.6", "share = 0.7", "color"),
        ("share = 0.6", 'share = "most"', "share"),
        ('pigment = "rain_grey"', 'pigment = "unobtainium"', "floor, color 1, pigment"),
        ('finish = "matte"', 'finish = "mirror"', "floor, finish"),
        ('seal = "soot_black"', 'seal = "plaid"', "floor, seal"),
        ("seed = 3", "seed = -3", "seed"),
        ("seed = 3", "seed = 3\nswirliness = 4", "swirliness"),
        ("Wren Alder", "<i>Wren</i>", "client, name"),
        ("Wren Alder", r"Wren \u202E Alder", "client, name"),
        ("Wren Alder", r"Wren \u0007 Alder", "client, name"),
        ("[floor]", "[florr]", "florr"),
        ("seed = 3", "seed = true", "floor, seed"),
        ("seed = 3", 'seed = "3"', "floor, seed"),
        ("share = 0.6", "share = true", "floor, color 1, share"),
        ("share = 0.6", "share = nan", "floor, color 1, share"),
        ("date = 2026-03-02", 'date = "2026-03-02"', "job, date"),
        ("date = 2026-03-02", "date = 2026-03-02T10:00:00", "job, date"),
        ("year_built = 2001", 'year_built = "2001"', "site, year_built"),
        ("year_built = 2001", "yeer = 2001", "site, yeer"),
        ("Wren Alder", r"Wren\u200BAlder", "client, name"),
        ('name = "Closet"', r'name = "Clo\tset"', "name: found"),
        ('"W 6\'", ', "", 'room "Closet", walls'),
        ('at = ["0 ft", "7\'"]', 'at = ["20\'", "4\'"]', "way_out, at"),
    ],
)
@pytest.mark.parametrize("verb", ["price", "propose", "render"])
def test_bad_input_gets_one_line_exit_code_2_and_writes_nothing(
    sheet, capsys, verb, old, new, field
):
    assert old in PLAIN
    sheet.write_text(PLAIN.replace(old, new, 1), encoding="utf-8")
    out = sheet.parent / "out" / ("a.pdf" if verb == "propose" else "a.png")
    extra = [] if verb == "price" else ["--out", str(out)]

    assert main([verb, str(sheet), *extra]) == 2

    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert field in said.err
    assert "expected" in said.err
    assert not out.parent.exists()


def test_one_color_is_no_marble(sheet, capsys):
    body = PLAIN.replace("share = 0.6", "share = 1.0")
    sheet.write_text(body[: body.rindex("[[floor.color]]")], encoding="utf-8")

    assert main(["price", str(sheet)]) == 2
    assert "color" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["gone.toml", ".", "den.toml/inside"])
def test_a_sheet_that_is_not_there_is_named(sheet, capsys, name):
    assert main(["price", str(sheet.parent / name)]) == 2
    assert capsys.readouterr().err.startswith("pourtable: measure sheet")


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["prize"],
        ["price"],
        ["price", "x.toml", "--jsn"],
        ["render", "x.toml"],
        ["render", "x.toml", "--out", "a.png", "--view", "side"],
        ["open", "--port", "many"],
    ],
)
def test_a_command_that_is_not_one_is_refused_in_one_line(capsys, words):
    with pytest.raises(SystemExit) as stopped:
        main(words)

    assert stopped.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_sheet_saved_with_a_byte_order_mark_is_read(sheet):
    sheet.write_bytes(b"\xef\xbb\xbf" + PLAIN.replace("\n", "\r\n").encode())

    assert main(["price", str(sheet)]) == 0


@pytest.mark.parametrize("size", ["10", "0x0", "1600*1000", "99999x99999", "-5x5"])
def test_sizes_that_cannot_be_are_refused(sheet, capsys, size):
    out = sheet.parent / "a.png"

    assert main(["render", str(sheet), f"--size={size}", "--out", str(out)]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not out.exists()


def test_a_folder_that_cannot_be_written_is_named_and_nothing_is_left(sheet, capsys):
    blocked = sheet / "below"

    assert main(["demo", "--out", str(blocked)]) == 2
    assert "den.toml; expected a folder" in capsys.readouterr().err


def test_a_surprise_is_logged_and_told_without_a_traceback(
    sheet, capsys, monkeypatch, tmp_path
):
    monkeypatch.setattr("kit.cli.price.workup", lambda *_: 1 / 0)
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path)

    assert main(["price", str(sheet)]) == 70

    said = capsys.readouterr().err
    assert "Traceback" not in said
    assert "ZeroDivisionError" in (tmp_path / "pourtable.log").read_text(encoding="utf-8")


def test_doctor_finds_the_kit_well(capsys):
    main(["doctor"])

    said = capsys.readouterr().out
    assert "demo sheet" in said
    assert "job book" in said


def test_jobs_lists_what_was_kept(sheet, capsys, demo_job, demo_workup):
    from kit.cli.keeping import keep

    assert main(["jobs"]) == 0
    assert "is empty" in capsys.readouterr().out
    keep(demo_job, demo_workup, note="test")
    keep(demo_job, demo_workup, note="test")

    assert main(["jobs"]) == 0

    said = capsys.readouterr().out
    assert said.count("Slipway Pottery") == 1


@pytest.mark.picture
@pytest.mark.paper
def test_the_demo_fills_its_folder_from_anywhere(tmp_path):
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    said = subprocess.run(
        [sys.executable, "-m", "kit", "demo", "--out", "d"],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=True,
    )

    made = {p.name for p in (tmp_path / "d").iterdir()}
    assert made == {
        *("proposal.pdf", "job-pack.pdf", "floor.png", "room-matte.png"),
        "room-gloss.png",
        *("bid.json", "boathouse.toml", "chart_house.toml"),
    }
    assert (tmp_path / "d" / "proposal.pdf").read_bytes().startswith(b"%PDF-")
    bid = json.loads((tmp_path / "d" / "bid.json").read_text(encoding="utf-8"))
    assert f"{Decimal(bid['total']):,.2f}" in said.stdout
    assert "python -m kit open" in said.stdout
