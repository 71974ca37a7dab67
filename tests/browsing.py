"""A real Chromium at the table: opens it, and keeps what went over its wires."""

import os
import re
import shutil
import signal
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest

FIRST_PICTURE_MS = 180_000  # kernels may have to be compiled first
PATIENCE_MS = 120_000  # two test runs compile kernels at once at first
FLAGS = (
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-smooth-scrolling",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
WITHOUT_GRAPHICS = ("--disable-gpu",)
WITH_GRAPHICS = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader")
READ = ".tape .reading:not(:empty)"
PAINTED = '.stage[data-ready="1"]'
HAS_ALL_PLATES = "document.querySelector('.stage').dataset.plates === 'all'"
SETTLED = "document.querySelector('.stage .busy').textContent === ''"


def chromium():
    """Where a Chromium is, or why there is no test."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if found := shutil.which(name):
            return found
    if os.environ.get("KIT_REQUIRE_CHROMIUM") == "1":
        pytest.fail("KIT_REQUIRE_CHROMIUM=1, but no Chromium is on the PATH")
    pytest.skip("no Chromium on the PATH (Debian: apt-get install chromium)")


class Table:
    """One open page and all that went over its wires."""

    def __init__(self, page, book, server):
        self.page, self.book, self.server = page, book, server
        self.errors, self.outside, self.frames = [], [], []
        page.set_default_timeout(PATIENCE_MS)
        page.on(
            "console", lambda m: self.errors.append(m.text) if m.type == "error" else None
        )
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", self._requested)
        page.on("websocket", lambda ws: ws.on("framereceived", self._heard))

    def _heard(self, frame):
        self.frames.append(frame if isinstance(frame, str) else frame.decode("latin-1"))

    def _requested(self, request):
        if not re.match(r"(https?|wss?)://127\.0\.0\.1[:/]|blob:|data:", request.url):
            self.outside.append(request.url)

    def go(self, station):
        self.page.get_by_role("navigation").get_by_role("button", name=station).click()

    def settle(self):
        self.page.wait_for_function(SETTLED)

    def rest(self):
        """Wait until the page holds all that may be chosen next and repaints nothing."""
        seen = -1
        while self.seq != seen:
            seen = self.seq
            self.page.wait_for_timeout(700)
            self.page.wait_for_function(HAS_ALL_PLATES, timeout=FIRST_PICTURE_MS)
            self.settle()

    @property
    def seq(self):
        return int(self.page.locator(".stage").get_attribute("data-seq"))

    @property
    def total(self):
        return self.page.locator("[data-total]").get_attribute("data-total")

    def wait_for_seq(self, above):
        self.page.wait_for_function(
            "above => Number(document.querySelector('.stage').dataset.seq) > above",
            arg=above,
        )


@contextmanager
def opened(
    place, *, graphics=WITHOUT_GRAPHICS, given=(), around=None, size=(1366, 768), **page_is
):
    """The table of the demo, served from a book in `place`, and opened.

    Parameters
    ----------
    graphics : tuple of str
        `WITH_GRAPHICS` lets the page shade plates, in software.
    given : tuple of str
        Further words on the command line.
    around : dict, optional
        What else the server finds in its environment.
    page_is : dict
        What else `new_page` is told, such as ``has_touch=True``.
    """
    with served(place, *given, graphics=graphics, around=around) as visit:
        table = visit(*size, **page_is)
        table.page.wait_for_selector(PAINTED, timeout=FIRST_PICTURE_MS)
        yield table


@contextmanager
def served(place, *given, graphics=WITHOUT_GRAPHICS, around=None, ready=READ):
    """A table served from a book in `place`; each call of it opens a page of its own.

    `around` is what else the server finds in its environment, `ready` what is waited for.
    """
    executable = chromium()
    from playwright.sync_api import sync_playwright

    server = subprocess.Popen(
        [sys.executable, "-m", "kit", "open", "--no-browser", *given],
        env=os.environ
        | {
            "KIT_BOOK_URL": str(place / "book.sqlite"),
            "KIT_OWNER_LOCK": str(place / "owner.json"),
        }
        | (around or {}),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    try:
        address = server.stdout.readline().strip()
        with sync_playwright() as play:
            browser = play.chromium.launch(
                executable_path=executable, args=[*FLAGS, *graphics]
            )

            def visit(width, height, **page_is):
                size = {"width": width, "height": height}
                page = browser.new_page(viewport=size, **page_is)
                table = Table(page, place / "book.sqlite", server)
                page.goto(address)
                page.wait_for_selector(ready, timeout=PATIENCE_MS)
                return table

            yield visit
            browser.close()
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(30)
        server.stdout.close()


def owners_bid(table):
    from kit.bench.state import TableState
    from kit.book import Book

    with Book(table.book) as book:
        job = book.latest(book.jobs()[0].job_id)
    return TableState(job).answers.bid


def leaked(bid, seen):
    """Amounts of the owner's that stand in what was seen."""
    planted = {line.amount for line in bid.lines if line.amount > 20} | {bid.cost}
    return [a for a in planted if f"{a:,.2f}" in seen or f"{a:.2f}" in seen]


def kernels_of(server):
    """Processes of the kernels below a server, found by who started whom."""
    parents, kernels = {}, []
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            lines = dict(
                line.split(":\t", 1)
                for line in status.read_text().splitlines()
                if ":\t" in line
            )
            command = (status.parent / "cmdline").read_bytes()
        except OSError:
            continue  # it ended while we looked
        parents[int(lines["Pid"])] = int(lines["PPid"])
        if b"ipykernel_launcher" in command:
            kernels.append(int(lines["Pid"]))

    def is_below(process):
        while process in parents and process != server.pid:
            process = parents[process]
        return process == server.pid

    return [kernel for kernel in kernels if is_below(kernel)]
