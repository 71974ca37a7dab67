"""``outline``: rooms from a drawing into a sheet and out again, or a line that says why."""

import pytest
from drawings import box, dxf, line, polyline
from sheets import PLAIN

from kit.cli import main
from kit.plan.drawn import rooms_of
from kit.site import read_sheet


@pytest.fixture
def drawing(tmp_path):
    file = tmp_path / "plan.dxf"
    store = polyline(box(7, 0, 3, 4), "Store")
    file.write_bytes(dxf(polyline(box(0, 0, 6, 4)), store, line(0, 9, 3, 9, "Sizes")))
    return file


def test_a_drawing_becomes_a_sheet_and_a_drawing_again(drawing, tmp_path, capsys):
    sheet, again = tmp_path / "rooms.toml", tmp_path / "again.dxf"

    assert main(["outline", str(drawing), "--out", str(sheet)]) == 0
    said = capsys.readouterr().out
    assert "Hall" in said
    assert "258.3 sq ft" in said
    assert 'Left out: layer "Sizes": 1 line open by' in said

    assert main(["outline", str(sheet), "--out", str(again)]) == 0
    assert main(["outline", str(again), "--out", str(tmp_path / "twice.toml")]) == 0
    twice = rooms_of(read_sheet(tmp_path / "twice.toml"))
    assert twice == rooms_of(read_sheet(sheet))


def test_a_sheet_becomes_plain_coordinates_and_a_sheet_again(tmp_path, capsys):
    sheet, plain = tmp_path / "den.toml", tmp_path / "den.json"
    sheet.write_text(PLAIN, encoding="utf-8")

    assert main(["outline", str(sheet), "--out", str(plain)]) == 0
    assert main(["outline", str(plain), "--out", str(tmp_path / "back.toml")]) == 0
    assert "300.0 sq ft" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["plan.dxf", "--out", "rooms.txt"], "--out: found rooms.txt; expected a name"),
        (["plan.png", "--out", "rooms.toml"], "plan.png: found .png; expected a name"),
        (["gone.dxf", "--out", "rooms.toml"], "drawing gone.dxf: found no such file"),
        (["gone.json", "--out", "rooms.toml"], "coordinates gone.json: found no such file"),
        (
            ["gone.toml", "--out", "rooms.dxf"],
            "measure sheet gone.toml: found no such file",
        ),
        (["plan.dxf", "--out", "rooms.toml", "--unit", "ft"], "expected m, as the drawing"),
        (["plan.dxf", "--out", "rooms.toml", "--layer", "Attic"], "found Attic"),
        (["bare.dxf", "--out", "rooms.toml"], "expected at least one closed outline"),
        (["speck.dxf", "--out", "rooms.toml"], 'room "Hall", area: found 0.1 sq ft'),
        (["empty.toml", "--out", "rooms.dxf"], "room: found nothing; expected at least"),
        (["half.json", "--out", "rooms.toml"], "coordinates half.json: found"),
        (["half.json", "--out", "rooms.toml", "--unit", "m"], "--unit, --layer"),
    ],
)
def test_what_cannot_be_is_one_line_and_writes_nothing(
    drawing, tmp_path, monkeypatch, capsys, arguments, says
):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bare.dxf").write_bytes(dxf())
    (tmp_path / "speck.dxf").write_bytes(dxf(polyline(box(0, 0, 0.1, 0.1))))
    (tmp_path / "empty.toml").write_text("", encoding="utf-8")
    (tmp_path / "half.json").write_text('{"type": "FeatureCollection",', encoding="utf-8")

    assert main(["outline", *arguments]) == 2
    said = capsys.readouterr()
    assert says in said.err
    assert said.err.count("\n") == 1
    assert not said.out
    assert not (tmp_path / "rooms.toml").exists()
    assert not (tmp_path / "rooms.dxf").exists()


def test_the_name_of_a_drawing_cannot_write_into_the_sheet(tmp_path):
    file = tmp_path / "plan\n[firm]\nname = 'X'.dxf"
    file.write_bytes(dxf(polyline(box(0, 0, 6, 4))))
    sheet = tmp_path / "rooms.toml"

    assert main(["outline", str(file), "--out", str(sheet)]) == 0
    assert list(read_sheet(sheet)) == ["room"]
