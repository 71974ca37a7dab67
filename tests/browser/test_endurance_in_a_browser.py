"""A long evening at the table: hundreds of pictures, and memory stays where it was."""

from itertools import count
from pathlib import Path

import pytest
from browsing import WITH_GRAPHICS, opened

pytestmark = [pytest.mark.browser, pytest.mark.slow]

FILLS, COUNTED = 2, 6
"""Rounds after which all that is kept, a bounded number of pictures, is full; and those
over which nothing more may be kept."""
HURRIED = 12
"""Pictures shown in each round while a knob is turned, before it comes to rest. They are
counted as the page shows them: a busy machine leaves out most of what is turned past."""
MOST_GROWN_MB = 5.0, 2.0
"""Of Python, and of the page: a tenth of a megabyte left behind by each picture is more."""
SMALL = (800, 600)
"""A window that is soon drawn; what is kept of a picture is as many pieces in any."""


GIVES_BACK = {"MALLOC_MMAP_THRESHOLD_": "65536", "MALLOC_TRIM_THRESHOLD_": "65536"}
"""Have the C library hand back what is let go of at once: it would keep a hundred megabytes
of holes, and what is never let go of would fill them for long before anyone sees it."""


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    place = tmp_path_factory.mktemp("book")
    with opened(place, graphics=WITH_GRAPHICS, around=GIVES_BACK, size=SMALL) as table:
        yield table


def kernel_of(table):
    """Process that holds the table's state: the server's child that grew largest."""
    found = []
    waiting = [table.server.pid]
    while waiting:
        pid = waiting.pop()
        for task in Path(f"/proc/{pid}/task").iterdir():
            waiting += [int(p) for p in (task / "children").read_text().split()]
        found.append(pid)
    return max(found, key=resident_mb)


def resident_mb(pid):
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0.0


def heap_mb(table):
    """JavaScript's heap and its buffers after its garbage was collected."""
    session = table.page.context.new_cdp_session(table.page)
    session.send("HeapProfiler.collectGarbage")
    told = session.send("Runtime.getHeapUsage")
    session.detach()
    return (told["usedSize"] + told["backingStorageSize"]) / 1e6


def turn_a_knob(table, presses):
    """Until so many pictures were shown and the floor has come to rest."""
    knob = table.page.locator(".vials input").first
    knob.focus()
    enough = table.seq + HURRIED
    while table.seq < enough:
        knob.press("ArrowRight" if next(presses) // 20 % 2 else "ArrowLeft")
    table.rest()


def test_memory_is_flat_over_a_long_evening(table):
    """Least of the last two rounds against the most of the first two, each at rest."""
    kernel, presses = kernel_of(table), count()
    table.go("Flow")
    for _ in range(FILLS):
        turn_a_knob(table, presses)
    first = table.seq
    kept = [(resident_mb(kernel), heap_mb(table))]
    for _ in range(COUNTED):
        turn_a_knob(table, presses)
        kept.append((resident_mb(kernel), heap_mb(table)))
    assert table.seq - first >= COUNTED * HURRIED
    for whose, most, *seen in zip(("Python", "page"), MOST_GROWN_MB, *kept, strict=True):
        told = f"{whose}: " + ", ".join(f"{mb:.1f}" for mb in seen) + " MB"
        assert min(seen[-2:]) - max(seen[:2]) < most, told
    assert table.errors == []
