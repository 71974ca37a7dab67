"""Ends the server when whoever opened it is gone: run inside the server."""

from __future__ import annotations

import atexit
import os
import shutil
import signal
import threading
import time
from pathlib import Path

LOOKS_EVERY_S = 1.0


def end_with_opener(folder: Path) -> None:
    """End this process in order once the one named by ``KIT_OPENER`` is not its parent.

    `folder`, which the opener could then not clear away, goes with it. Where a child
    keeps the number of a parent that has died, as on Windows, nothing is ended.
    """
    opener = int(os.environ["KIT_OPENER"])
    threading.Thread(target=_watch, args=(opener, folder), daemon=True).start()


def _watch(opener: int, folder: Path) -> None:
    while os.getppid() == opener:
        time.sleep(LOOKS_EVERY_S)
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    os.kill(os.getpid(), signal.SIGTERM)
