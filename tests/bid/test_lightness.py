"""A price never waits for a picture, nor for a solver that it may not need."""

import subprocess
import sys

HEAVY = {"kit.look", "numba", "matplotlib", "scipy", "babel", "ipywidgets", "typst"}


def test_the_strand_of_the_price_loads_nothing_heavy():
    line = "import sys, kit.takeoff, kit.coats, kit.work, kit.bid; print(*sys.modules)"

    done = subprocess.run(
        [sys.executable, "-c", line], capture_output=True, text=True, check=True
    )

    assert set(done.stdout.split()) & HEAVY == set()


def test_a_whole_bid_loads_no_picture():
    line = (
        "import sys; sys.path.insert(0, 'tests');"
        "from floors import *; from kit.bid import bid;"
        "s = read_shelf(); bid(rectangle(8.0, 7.0), PALETTE, s.finish('matte'), s);"
        "print(*sys.modules)"
    )

    done = subprocess.run(
        [sys.executable, "-c", line], capture_output=True, text=True, check=True
    )

    loaded = set(done.stdout.split())
    assert "kit.coats.order" in loaded
    assert "scipy.optimize" not in loaded
    assert loaded & (HEAVY - {"scipy", "babel"}) == set()
