"""Hands at the table: how rooms are drawn and controls reached by mouse, key and finger."""

import os
import re
from pathlib import Path

import pytest


def await_area(table, words):
    table.page.locator(".names-on .room", has_text=words).first.wait_for()


def on_board(table, x, y):
    """Place of the screen for a place of the board, in shares of it."""
    box = table.page.locator(".board").bounding_box()
    return box["x"] + x * box["width"], box["y"] + y * box["height"]


def mouse_drag(table, begin, end):
    mouse = table.page.mouse
    mouse.move(*begin)
    mouse.down()
    mouse.move(*end, steps=6)
    mouse.up()
    table.page.wait_for_timeout(250)


def middle_of(table, name):
    box = table.page.get_by_role("button", name=name).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def finger_drag(table, begin, end):
    """A finger on the glass: touch events as the browser makes them."""
    session = table.page.context.new_cdp_session(table.page)

    def send(kind, *points):
        session.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]},
        )

    send("touchStart", begin)
    for step in range(1, 7):
        part = step / 6
        send("touchMove", [a + part * (b - a) for a, b in zip(begin, end, strict=True)])
    send("touchEnd")
    session.detach()
    table.page.wait_for_timeout(400)


def square_by(table, drag):
    """Draw four walls of equal length, the last one onto the first corner."""
    a, b = on_board(table, 0.2, 0.25), on_board(table, 0.55, 0.25)
    side = b[0] - a[0]
    c, d = (b[0], b[1] + side), (a[0], a[1] + side)
    begin = a
    for number, end in enumerate((b, c, d, a)):
        drag(table, begin, end)
        if number < 3:
            begin = middle_of(table, re.compile(f"^End of wall {number + 1},"))
    await_area(table, "sq ft")


def tab_to(table, name, *, back=False):
    """Go to a control by the keyboard alone."""
    says = """() => { const e = document.activeElement;
        return [e.getAttribute('aria-label'), e.labels?.[0]?.textContent, e.textContent]
        .filter(Boolean).join('|') }"""
    for _ in range(120):
        if re.search(name, table.page.evaluate(says)):
            return
        table.page.keyboard.press("Shift+Tab" if back else "Tab")
    pytest.fail(f"no {name} on the way of the Tab key")


def look(table, name):
    """Keep a screenshot where the environment asks for it, to be looked at."""
    if folder := os.environ.get("KIT_SHOTS"):
        table.page.screenshot(path=Path(folder) / f"{name}.png")
