"""What notebooks show, and how the notebooks are shipped."""

import json
import re
from pathlib import Path

import numpy as np
import pytest

from kit.bench.notebook import Swatch, chart, label, pictures, table, tokens
from kit.bench.page_modules import style
from kit.ink import INK, chart_style
from kit.look.colour import contrast
from kit.look.picture import Picture
from kit.shipped import shipped

ROOT = Path(__file__).parents[2]
NOTEBOOKS = sorted(shipped("notebooks").glob("*.ipynb"))


def cells_of(path):
    return json.loads(path.read_text("utf-8"))["cells"]


def test_colors_are_those_of_the_pages_light_theme():
    ink = tokens()
    assert ink["ink"] == "#211f1c"
    assert ink["chalk"] in style("theme.css")
    dark = style("theme.css").split("prefers-color-scheme: dark", 1)[1]
    assert f"--ground: {ink['ground']}" not in dark


def test_what_is_written_in_a_chart_can_be_read():
    """WCAG 2.2 SC 1.4.3 asks 4.5 of text, 1.4.11 asks 3 of lines."""
    styled = chart_style()
    ground = styled["figure.facecolor"]
    for words in ("text.color", "xtick.color", "ytick.color", "axes.labelcolor"):
        assert contrast(styled[words], ground) >= 4.5
    for line in styled["axes.prop_cycle"].by_key()["color"]:
        assert contrast(line, ground) >= 3.0


@pytest.fixture
def displayed(monkeypatch):
    shown = []
    monkeypatch.setattr("IPython.display.display", shown.append)
    return shown


def test_a_chart_is_shown_once_with_its_words_and_leaves_no_setting(displayed):
    import matplotlib

    before = dict(matplotlib.rcParams)
    with chart('Price < "cost"', columns=2) as (left, right):
        left.plot([1, 2], [3, 4])
        label(right, "here", (0.5, 0.5))
        assert displayed == []
    assert len(displayed) == 1
    html = displayed[0].data
    assert 'alt="Price &lt; &quot;cost&quot;"' in html
    assert "data:image/png;base64," in html
    assert dict(matplotlib.rcParams) == before


def test_a_chart_that_fails_shows_nothing(displayed):
    with pytest.raises(ZeroDivisionError), chart("Nothing") as axes:
        axes.plot([1 / 0])
    assert displayed == []


def test_the_charts_letters_are_those_of_the_page(displayed):
    from matplotlib import font_manager

    with chart("Letters"):
        found = font_manager.findfont(
            chart_style()["font.family"], fallback_to_default=False
        )
    assert "IBMPlexSans" in found


def test_a_table_says_what_was_typed_and_no_more():
    html = table(
        ["Line", "Amount"], [("<b>coat</b>", "-38.56"), (Swatch("#123456"), 7)]
    ).data
    assert "&lt;b&gt;coat&lt;/b&gt;" in html
    assert "−38.56" in html
    assert "background:#123456" in html
    assert html.count("text-align:right") == 3


def test_pictures_carry_their_words():
    picture = Picture(np.zeros((20, 30, 3), np.uint8))
    html = pictures((picture, "Matte & calm"), (picture, "Gloss")).data
    assert html.count("<img") == 2
    assert 'alt="Matte &amp; calm"' in html


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_opens_with_its_question_and_keeps_no_outputs(path):
    first, *others = cells_of(path)
    heading, blank, opening, *_ = "".join(first["source"]).splitlines()
    assert heading.startswith("# ")
    assert blank == ""
    assert opening
    code = [cell for cell in others if cell["cell_type"] == "code"]
    assert all(not cell["outputs"] and cell["execution_count"] is None for cell in code)
    assert any("assert " in "".join(cell["source"]) for cell in code)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_the_readme_lists_every_notebook(path):
    assert f"`{path.name}`" in (ROOT / "README.md").read_text("utf-8")


def test_figures_of_the_owner_are_announced_before_they_are_shown():
    first = "".join(cells_of(shipped("notebooks") / "bid_study.ipynb")[0]["source"])
    assert re.search("for the owner only", first, re.IGNORECASE)


def test_the_page_waits_for_no_cell_but_the_tables():
    """Voila runs what its template leaves; see the page's template for the tag."""
    cells = cells_of(shipped("notebooks") / "table.ipynb")
    left = [c for c in cells if "notebook" not in c["metadata"].get("tags", [])]
    assert cells[: len(left)] == left
    (code,) = (c for c in left if c["cell_type"] == "code")
    assert "open_table()" in "".join(code["source"])


def test_the_template_leaves_the_tagged_cells_out():
    import jinja2
    import nbformat

    folder = ROOT / "kit/bench/voila/templates/pourtable"
    template = jinja2.Environment(autoescape=True).from_string(
        (folder / "index.html.j2").read_text("utf-8")
    )
    template.environment.filters["trusted"] = lambda output: output
    ran = []

    def run(nb, _):
        ran.extend(nb.cells)
        return []

    template.render(
        nb=nbformat.read(shipped("notebooks") / "table.ipynb", as_version=4),
        kernel_start=lambda _: "k",
        cell_generator=run,
        page_config={"fullStaticUrl": "static"},
        resources={"base_url": "/"},
        main_js="voila.js",
    )
    assert [cell.cell_type for cell in ran] == ["markdown", "code"]


def test_charts_have_the_colors_of_the_page():
    assert {name: tokens()[name] for name in INK} == INK
