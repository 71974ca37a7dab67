"""What a first picture loads, from the sheet to the JPEG, in a Python of its own."""

import subprocess
import sys

import pytest

from kit.measure.works import first_picture

SPARED = {
    # what a price, a book or the paper needs
    *("kit.takeoff", "kit.coats", "kit.work", "kit.bid", "kit.book", "kit.job.working"),
    *("kit.stock.pricebook.overlay", "scipy", "sqlalchemy", "typst", "babel", "openpyxl"),
    # the table and the notebook
    *("kit.bench", "IPython", "ipywidgets", "matplotlib", "asyncio", "tqdm"),
    # what is looked for only to be offered
    *(
        "yaml",
        "coverage",
        "cffi",
        "unittest",
        "PIL.PngImagePlugin",
        "email.message",
        "numpy.ma",
    ),
}
COMPILING = {"numba.np.arrayobj", "numba.np.linalg", "numba.cpython.mathimpl"}


def loaded():
    """Names of what is loaded when the picture is there."""
    code = f"{first_picture('above')}\nimport sys\nprint(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


@pytest.mark.jit
def test_a_first_picture_loads_nothing_that_it_does_not_show():
    names = loaded()
    if names & COMPILING:  # its kernels were not kept yet
        names = loaded()

    assert "kit.look.above" in names
    assert names & (SPARED | COMPILING) == set()
