"""What travels in the wheel."""

import zipfile
from pathlib import Path

import pytest

from kit.shipped import shipped

ROOT = Path(__file__).parents[2]


def test_the_demo_sheet_and_the_notebooks_are_found():
    assert (shipped("demo_assets") / "boathouse.toml").is_file()
    assert (shipped("notebooks") / "table.ipynb").is_file()


@pytest.mark.slow
def test_the_wheel_holds_everything_the_source_does(tmp_path):
    build = pytest.importorskip(
        "hatchling.builders.wheel", reason="hatchling is not installed"
    )
    wheel = next(build.WheelBuilder(str(ROOT)).build(directory=str(tmp_path)))
    packed = set(zipfile.ZipFile(wheel).namelist())

    kept = {".py", ".toml", ".typ", ".js", ".css", ".json", ".j2", ".md"}
    wanted = {
        str(p.relative_to(ROOT))
        for p in (ROOT / "kit").rglob("*")
        if p.suffix in kept and "__pycache__" not in p.parts
    }
    assert wanted - packed == set()
    assert {"kit/demo_assets/boathouse.toml", "kit/notebooks/table.ipynb"} <= packed
