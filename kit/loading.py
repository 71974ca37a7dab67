"""Loading what stays for good, which is no garbage and need not be gone over for any."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def for_good() -> Iterator[None]:
    """Look for no garbage while this lasts; whatever is there then counts as old.

    Otherwise all that is loaded would be gone over several times before a first picture,
    and take a tenth of its time. Garbage that a caller has is found later, as ever.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            if not gc.get_freeze_count():
                gc.freeze()
                gc.unfreeze()  # into the oldest generation
            gc.enable()
