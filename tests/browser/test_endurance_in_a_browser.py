"""A long evening at the table: a thousand changes, and memory stays where it was."""

from pathlib import Path

import pytest
from browsing import WITH_GRAPHICS, opened

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PICTURES, FILLS = 25, 400
"""Pictures that come to rest, then changes in a hurry, after which all that is kept, a
bounded number of pictures, is full: a busy machine leaves out most of the latter."""
CHANGES = 1_000
MOST_GROWN = 1.25


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with opened(tmp_path_factory.mktemp("book"), graphics=WITH_GRAPHICS) as table:
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
    """JavaScript's heap after its garbage was collected."""
    session = table.page.context.new_cdp_session(table.page)
    session.send("HeapProfiler.collectGarbage")
    told = session.send("Runtime.getHeapUsage")
    session.detach()
    return told["usedSize"] / 1e6


def turn_a_knob(table, times, *, at_leisure=False):
    knob = table.page.locator(".vials input").first
    knob.focus()
    for n in range(times):
        knob.press("ArrowRight" if n // 20 % 2 else "ArrowLeft")
        if at_leisure:
            table.rest()
    table.settle()
    table.page.wait_for_timeout(3000)
    table.settle()


def test_memory_is_flat_over_a_thousand_changes(table):
    kernel = kernel_of(table)
    table.go("Flow")
    turn_a_knob(table, PICTURES, at_leisure=True)
    turn_a_knob(table, FILLS)
    warm = resident_mb(kernel), heap_mb(table)
    turn_a_knob(table, CHANGES)
    after = resident_mb(kernel), heap_mb(table)
    told = (
        f"Python {warm[0]:.0f} MB, then {after[0]:.0f}; page {warm[1]:.1f}, {after[1]:.1f}"
    )
    assert after[0] < MOST_GROWN * warm[0], told
    assert after[1] < MOST_GROWN * warm[1], told
    assert table.errors == []
