"""The page shades the floor by itself: what it paints is what Python paints."""

import base64
import io
import os
import signal
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from browsing import WITH_GRAPHICS, opened
from PIL import Image

from kit.job import Pictures, workup
from kit.look.colour import difference, lab, srgb_decoded

pytestmark = pytest.mark.browser

MOST_APART = 2.0  # mean CIEDE2000 that is asked of a screen


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with opened(tmp_path_factory.mktemp("book"), graphics=WITH_GRAPHICS) as table:
        yield table


def painted(table, side=0):
    """Eight-bit sRGB of one side of the stage, as the page painted it."""
    told = table.page.evaluate(
        "i => document.querySelectorAll('.stage canvas.side')[i].toDataURL()", side
    )
    image = Image.open(io.BytesIO(base64.b64decode(told.split(",")[1])))
    return np.asarray(image.convert("RGB"))


def turned(table, button):
    """Press one of the stage's buttons, unless it is on, and wait for what it shows."""
    button = table.page.get_by_role("button", name=button, exact=True)
    if button.get_attribute("aria-pressed") == "true":
        return
    before = table.seq
    button.click()
    table.wait_for_seq(before)


@contextmanager
def silent_python(table):
    """Stop the process that holds the table's state, as if it were busy for long."""
    served = _children(table.server.pid)
    kernels = [pid for server in served for pid in _children(server)]
    for pid in kernels:
        os.kill(pid, signal.SIGSTOP)
    try:
        yield
    finally:
        for pid in kernels:
            os.kill(pid, signal.SIGCONT)


@contextmanager
def repainted_in_silence(table):
    """Do something that must repaint the floor before Python can answer."""
    before = table.seq
    with silent_python(table):
        yield
        table.wait_for_seq(before)


def _children(pid):
    return [
        int(child)
        for task in Path(f"/proc/{pid}/task").iterdir()
        for child in (task / "children").read_text().split()
    ]


def apart(one, other):
    """Mean CIEDE2000 between two pictures."""
    seen, given = (lab(srgb_decoded(picture / 255.0)) for picture in (one, other))
    return float(difference(seen, given).mean())


def test_the_page_paints_what_python_paints(table, demo_job):
    pictures = Pictures(demo_job.recipe, workup(demo_job).plan)
    table.rest()
    for view, button in (("room", "In the room"), ("above", "From above")):
        turned(table, button)
        table.rest()
        for mood in ("evening", "day"):
            turned(table, mood.capitalize())
            seen = painted(table)
            high, wide, _ = seen.shape
            given = pictures.shown(
                view, demo_job.finish, width_px=wide, height_px=high, mood=mood
            ).rgb
            assert apart(seen, given) < MOST_APART / 4, (view, mood)
            other = pictures.shown(
                view, "gloss", width_px=wide, height_px=high, mood=mood
            ).rgb
            assert apart(seen, other) > apart(seen, given)
    turned(table, "In the room")


def test_light_sheen_edge_and_pigments_are_repainted_while_python_is_silent(
    table, demo_job
):
    table.go("Sheen")
    table.rest()
    recipe = demo_job.recipe
    colors = list(recipe.palette.colours)
    colors[0] = colors[0].changed(pigment="gull_white")
    palette = recipe.palette.changed(colours=tuple(colors))
    again = Pictures(recipe.changed(palette=palette), workup(demo_job).plan)
    was = painted(table)
    with silent_python(table):
        turned(table, "Evening")
    assert apart(painted(table), was) > 3.0

    was = painted(table, side=1)
    with repainted_in_silence(table):
        table.page.get_by_role("radio", name="Satin").click()
    assert apart(painted(table, side=1), was) > 0.5

    edge = table.page.get_by_role("slider", name="Edge between")
    with silent_python(table):
        edge.focus()
        edge.press("Home")
        assert edge.get_attribute("aria-valuenow") == "0"
        edge.press("End")

    table.go("Color")
    table.rest()
    table.page.get_by_role("button", name="Deep well, reflects").click()
    with repainted_in_silence(table):
        table.page.get_by_role("radio", name="Gull white").click()
        high, wide, _ = painted(table).shape
    given = again.shown(
        "room", demo_job.finish, width_px=wide, height_px=high, mood="evening"
    ).rgb
    table.rest()
    table.page.wait_for_timeout(1500)
    assert apart(painted(table), given) < MOST_APART / 4
    table.page.get_by_role("button", name="Undo").click()


def test_a_knob_of_the_pattern_sends_new_plates_and_no_error_was_logged(table):
    table.go("Flow")
    table.rest()
    before = table.seq
    slider = table.page.get_by_role("slider").nth(1)
    slider.press("PageUp")
    table.wait_for_seq(before)
    table.rest()
    assert table.errors == []
    assert table.outside == []
