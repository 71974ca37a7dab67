"""Measure sheets that cannot be: each gets one line that names the field."""

import pytest
from sheets import PLAIN, bent, site_of

from kit.errors import SheetError
from kit.record import filled
from kit.site import Site, read_sheet, tables


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(SheetError, match=r"measure sheet gone\.toml: found no such file"):
        read_sheet(tmp_path / "gone.toml")


def test_a_folder_is_not_a_sheet(tmp_path):
    with pytest.raises(SheetError, match="folder"):
        read_sheet(tmp_path)


def test_five_megabytes_are_refused_before_they_are_read(tmp_path):
    sheet = tmp_path / "large.toml"
    sheet.write_bytes(b"#" * 5_000_000)

    with pytest.raises(SheetError, match=r"5\.0 MB.*at most 1 MB"):
        read_sheet(sheet)


@pytest.mark.parametrize(
    "content", [b"\xff\xfe\x00", b"{]", b"a = [" * 5000, b"a = 1\na = 2"]
)
def test_what_is_not_toml_is_refused(tmp_path, content):
    sheet = tmp_path / "odd.toml"
    sheet.write_bytes(content)

    with pytest.raises(SheetError, match=r"measure sheet odd\.toml") as refused:
        read_sheet(sheet)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "escape", [r"\u0000", r"\u001b", r"\u202E", r"\u2066", r"\u200F", r"\uE000"]
)
def test_control_and_turning_characters_are_refused_by_field(escape):
    with pytest.raises(SheetError, match=r"client, name: found .*U\+"):
        tables(PLAIN.replace("Wren Alder", f"Wren {escape}Alder"))


@pytest.mark.parametrize(
    "name", ["<b>Wren</b>", "#eval(1)", "Wren $x$", "a \\\\ b", "*Wren*", "{{x}}", "[a](b)"]
)
def test_a_name_that_is_markup_is_refused(name):
    with pytest.raises(SheetError, match=r"client, name.*a plain name without markup"):
        filled(Site, site_of(tables(PLAIN.replace("Wren Alder", name))))


@pytest.mark.parametrize(
    "name", ["O'Brien & Sons", "Łucja Żółć", "Nguyễn Ái", "Bed #2", "Öz-Gür (Ltd.)"]
)
def test_names_of_people_pass(name):
    assert (
        filled(Site, site_of(tables(PLAIN.replace("Wren Alder", name)))).client.name == name
    )


def test_a_misspelt_field_is_named():
    with pytest.raises(SheetError, match=r'room "Den", colums: found .*not known'):
        filled(
            Site, site_of(bent('name = "Den"\nwalls', 'name = "Den"\ncolums = 2\nwalls'))
        )


def test_a_year_that_cannot_be_is_named():
    with pytest.raises(SheetError, match="site, year_built: found 3001"):
        filled(Site, site_of(bent("year_built = 2001", "year_built = 3001")))


def test_walls_and_corners_together_are_refused():
    both = bent('name = "Den"\nwalls', 'name = "Den"\ncorners = [["0 ft","0 ft"]]\nwalls')
    with pytest.raises(
        SheetError, match=r'room "Den": found walls and corners; expected either walls'
    ):
        filled(Site, site_of(both))
