"""Rules of the house that no linter knows."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
KIT = ROOT / "kit"
SOURCES = (KIT / "SOURCES.md").read_text(encoding="utf-8")
MODULES = sorted(KIT.rglob("*.py"))
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_importing_the_kit_loads_nothing_heavy():
    heavy = ("numba", "matplotlib", "ipywidgets", "scipy", "shapely", "typst", "sqlalchemy")
    code = f"import sys, kit; print([m for m in {heavy!r} if m in sys.modules])"

    said = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert said.stdout.strip() == "[]"


def test_pricing_reaches_neither_numba_nor_a_screen():
    code = (
        "import sys; from kit.job import Job, workup; "
        "workup(Job.from_sheet('demo_assets/boathouse.toml')); "
        "print([m for m in ('numba', 'ipywidgets', 'kit.look', 'kit.pour.poured') "
        "if m in sys.modules])"
    )

    said = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert said.stdout.strip() == "[]"


def test_every_cited_key_has_its_source_and_every_source_is_cited():
    code = "\n".join(m.read_text(encoding="utf-8") for m in MODULES)
    listed = re.findall(r"^- \*\*\[(\w+)\]\*\*", SOURCES, flags=re.MULTILINE)
    bracketed = set(re.findall(r"\[([A-Z][A-Za-z]\w+)\](?!\()", code))
    cited = {key for key in bracketed if key in listed or re.search(r"[a-z0-9]\d{3}", key)}

    assert len(listed) == len(set(listed))
    assert cited - set(listed) == set()
    assert set(listed) - cited == set()


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(KIT)))
def test_no_module_outgrows_a_sitting(module):
    assert len(module.read_text(encoding="utf-8").splitlines()) <= 450


def test_the_readme_gives_the_two_commands_word_for_word():
    assert "    python -m pip install . && python -m kit demo\n" in README
    assert '    python -m pip install ".[test]" && python -m pytest\n' in README


def test_the_readme_opens_with_the_job_in_one_paragraph():
    _, first, *_ = README.split("\n\n")

    assert first.startswith("Pourtable is for")


@pytest.mark.parametrize(
    "verb",
    [
        *("demo", "propose", "price", "prices", "render", "showing"),
        *("open", "outline", "jobs", "doctor"),
    ],
)
def test_every_command_is_documented(verb):
    assert f"python -m kit {verb}" in README


@pytest.mark.parametrize(
    "room", sorted(p.name for p in KIT.iterdir() if (p / "__init__.py").is_file())
)
def test_every_room_is_on_the_developers_map(room):
    assert f"`{room}/`" in DEVELOPERS


def test_the_readme_lists_all_that_is_on_the_shelf():
    from kit.stock import read_shelf

    shelf = read_shelf()
    for thing in (*shelf.pigments, *shelf.tints, *shelf.finishes):
        assert f"`{thing.key}`" in README


def test_the_shelf_can_be_a_key_with_every_record_on_it():
    from kit.stock import read_shelf

    assert hash(read_shelf()) == hash(read_shelf())
