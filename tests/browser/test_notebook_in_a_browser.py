"""The notebooks in JupyterLab in a real Chromium: listed, read and run."""

import os
from pathlib import Path

import pytest
from browsing import FIRST_PICTURE_MS, PAINTED, served

from kit.kernels import kernels_place
from kit.shipped import shipped

pytestmark = [pytest.mark.browser, pytest.mark.notebook]

NOTEBOOKS = sorted(shipped("notebooks").glob("*.ipynb"))
WRONG = ".jp-OutputArea-output:is([data-mime-type$='.error'], [data-mime-type$='.stderr'])"
SHOTS = os.environ.get("KIT_SCREENSHOTS")


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """JupyterLab as ``open --notebook`` serves it to somebody new; every cell is run."""
    home = tmp_path_factory.mktemp("home")
    around = {"HOME": str(home), "NUMBA_CACHE_DIR": str(kernels_place())}
    ready = ".jp-Notebook .jp-Cell"
    with served(home, "--notebook", around=around, ready=ready) as visit:
        lab = visit(1366, 768)
        # cells that are run before Python is there are not run at all
        lab.page.get_by_text("Pourtable | Idle").wait_for()
        lab.page.get_by_role("menuitem", name="Run", exact=True).click()
        lab.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        lab.page.wait_for_selector(PAINTED, state="attached", timeout=FIRST_PICTURE_MS)
        yield lab


def seen(page, name):
    if SHOTS:
        page.screenshot(path=str(Path(SHOTS) / f"{name}.png"))


def wrong(page):
    """What went wrong in the cells near the one that is looked at: others are not drawn."""
    return page.locator(WRONG).all_inner_texts()


def test_lab_lists_every_notebook_and_has_opened_the_tables(lab):
    listed = lab.page.locator(".jp-DirListing-itemText")
    listed.get_by_text("table.ipynb").wait_for()
    assert {path.name for path in NOTEBOOKS} <= set(listed.all_inner_texts())
    lab.page.locator(".jp-Notebook").get_by_role("heading", name="The table").wait_for()


def test_the_tables_notebook_shows_the_table_and_the_same_job_in_python(lab):
    lab.page.locator(PAINTED).scroll_into_view_if_needed()
    lab.page.locator("[data-total]").scroll_into_view_if_needed()
    seen(lab.page, "lab-table")
    total = f"{float(lab.total):,.2f}"
    price = lab.page.locator(".jp-RenderedHTMLCommon td").get_by_text(total, exact=True)
    price.first.scroll_into_view_if_needed()
    assert price.first.is_visible()
    code = lab.page.locator(".jp-CodeCell .cm-content").get_by_text("TableState(")
    assert code.is_visible()
    assert wrong(lab.page) == []
    seen(lab.page, "lab-python")

    refused = lab.page.locator(".jp-OutputArea-output").get_by_text("velvet")
    refused.scroll_into_view_if_needed(timeout=FIRST_PICTURE_MS)
    seen(lab.page, "lab-end")
    evening = lab.page.get_by_role("img", name="evening")
    evening.scroll_into_view_if_needed()
    assert evening.evaluate("image => image.naturalWidth") == 480
    assert wrong(lab.page) == []
    assert lab.outside == []


def test_a_choice_made_in_python_moves_the_table(lab):
    """In a cell put below the table's, as the notebook's last words say."""
    lab.page.locator(".jp-Notebook .jp-Cell").first.scroll_into_view_if_needed()
    before = lab.total
    lab.page.locator(".jp-Notebook .jp-CodeCell .cm-content").first.click()
    lab.page.keyboard.press("Control+End")
    lab.page.keyboard.press("Escape")
    lab.page.keyboard.press("b")
    lab.page.keyboard.press("Enter")
    lab.page.keyboard.type(
        "from kit.bench.choices import with_finish; "
        'table.state.change(lambda job: with_finish(job, "gloss"))'
    )
    lab.page.keyboard.press("Control+Enter")
    lab.page.wait_for_function(
        "before => document.querySelector('[data-total]').dataset.total !== before",
        arg=before,
    )
    assert float(lab.total) > float(before)
    assert lab.outside == []
