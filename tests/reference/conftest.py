"""The independent renderer, if it is installed: Mitsuba 3 from its wheel."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="session")
def mi():
    """Mitsuba without a just-in-time compiler, so that no system library is needed."""
    mitsuba = pytest.importorskip(
        "mitsuba", reason="Mitsuba is not installed; pip install 'pourtable[reference]'"
    )
    mitsuba.set_variant("scalar_rgb")
    return mitsuba
