"""How soon the table shows something, beside other work of the browser: told, not held.

Seconds of a shared machine prove nothing, so ratios and frames are printed (``-s`` shows
them) and only what must be true on any machine is asserted.
"""

import json
import os
import signal
import socket
import statistics
import subprocess
import sys
import time

import pytest
from browsing import (
    FIRST_PICTURE_MS,
    FLAGS,
    PAINTED,
    SETTLED,
    WITHOUT_GRAPHICS,
    chromium,
    opened,
)

pytestmark = [pytest.mark.browser, pytest.mark.slow]

JPEG_ONLY = ("--disable-gpu", "--disable-3d-apis")
ROUNDS = 5
FRAMES_UNTIL_PAINTED = """
(act) => new Promise((done) => {
  const stage = document.querySelector('.stage');
  const before = Number(stage.dataset.seq);
  let frames = 0;
  const look = () => {
    if (Number(stage.dataset.seq) > before) return done(frames);
    frames += 1;
    requestAnimationFrame(look);
  };
  new Function(act)();
  requestAnimationFrame(look);
})
"""
TURN = """
const knob = document.querySelector('#knob-{name}');
knob.dispatchEvent(new PointerEvent('pointerdown'));
knob.value = Number(knob.min) + {part} * (knob.max - knob.min);
knob.dispatchEvent(new Event('input'));
"""
LET_GO = """
const knob = document.querySelector('#knob-{name}');
for (const end of ['pointerup', 'change']) knob.dispatchEvent(new Event(end));
"""
IN_FULL = """() => {
  const stage = document.querySelector('.stage');
  const seen = stage.querySelector('canvas.side');
  return document.querySelector('.stage .busy').textContent === ''
    && Math.abs(seen.width - stage.clientWidth * devicePixelRatio) < 2;
}"""


def frames(table, act):
    return table.page.evaluate(FRAMES_UNTIL_PAINTED, act)


def test_a_knob_shows_a_picture_about_as_soon_as_a_picture_can_be_sent(tmp_path, capsys):
    """Against a picture of which the pattern is known: shaded, encoded, sent and drawn."""
    with opened(tmp_path, graphics=JPEG_ONLY) as table:
        table.page.get_by_role("button", name="From above").click()
        table.go("Flow")
        table.page.wait_for_function(SETTLED, timeout=FIRST_PICTURE_MS)
        name = table.page.locator(".vials input").first.get_attribute("id")[5:]
        sent, turned = [], []
        for number in range(ROUNDS):
            mood = "Evening" if number % 2 == 0 else "Day"
            press = f"""[...document.querySelectorAll('.stage button')]
                .find((b) => b.textContent === '{mood}').click()"""
            sent.append(frames(table, press))
            table.settle()
            turned.append(frames(table, TURN.format(name=name, part=0.2 + 0.1 * number)))
            table.page.evaluate(f"() => {{ {LET_GO.format(name=name)} }}")
            table.settle()
            table.page.wait_for_function(IN_FULL)
        with capsys.disabled():
            print(f"\nframes until painted: sent {sent}, knob turned {turned}")  # noqa: T201
        assert table.errors == []


def bare_notebook(folder):
    cell = {
        "cell_type": "code", "execution_count": None, "id": "slider", "metadata": {},
        "outputs": [], "source": "import ipywidgets\nipywidgets.IntSlider()",
    }  # fmt: skip
    told = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    place = folder / "bare.ipynb"
    place.write_text(
        json.dumps({"cells": [cell], "metadata": told, "nbformat": 4, "nbformat_minor": 5})
    )
    return place


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def answered(port):
    while True:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            time.sleep(0.03)
        else:
            return


def seconds_until_ready(browser, command, env, *, address, ready):
    begun = time.perf_counter()
    server = subprocess.Popen(
        command, env=env, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        page = browser.new_page(viewport={"width": 1366, "height": 768})
        page.goto(address(server))
        page.wait_for_selector(ready, timeout=FIRST_PICTURE_MS)
        took = time.perf_counter() - begun
        page.close()
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(30)
        server.stdout.close()
    return took


def test_the_table_is_ready_beside_a_bare_page_with_one_slider(tmp_path, capsys):
    """Both are begun from nothing, in turn; pictures may come from compiled kernels."""
    executable = chromium()
    from playwright.sync_api import sync_playwright

    env = os.environ | {
        "KIT_BOOK_URL": str(tmp_path / "book.sqlite"),
        "KIT_OWNER_LOCK": str(tmp_path / "owner.json"),
    }
    notebook = bare_notebook(tmp_path)

    def bare(browser):
        port = free_port()
        command = [
            sys.executable, "-m", "voila", str(notebook), f"--port={port}", "--no-browser"
        ]  # fmt: skip

        def address(_):
            answered(port)
            return f"http://127.0.0.1:{port}/"

        return seconds_until_ready(
            browser, command, env, address=address, ready=".widget-slider"
        )

    def table(browser):
        command = [sys.executable, "-m", "kit", "open", "--no-browser"]
        return seconds_until_ready(
            browser,
            command,
            env,
            address=lambda server: server.stdout.readline().strip(),
            ready=PAINTED,
        )

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=executable, args=[*FLAGS, *WITHOUT_GRAPHICS]
        )
        table(browser)  # compiles, if nobody has
        ratios = [table(browser) / bare(browser) for _ in range(3)]
        browser.close()
    with capsys.disabled():
        print(  # noqa: T201
            f"\ntable ready, bare pages: {statistics.median(ratios):.2f} "
            f"({', '.join(f'{ratio:.2f}' for ratio in ratios)})"
        )
    assert all(ratio > 0 for ratio in ratios)
