"""What no configuration may hold: read from the environment, or from a closed file."""

from __future__ import annotations

import os
from pathlib import Path

from kit.errors import OutputError

LONGEST = 2000
"""Characters of a secret."""


def secret(name: str, folder: Path) -> str:
    """Read a secret by its name in the environment, else from a file in a folder.

    Parameters
    ----------
    name : str
        Such as ``KIT_BOOK_URL``; its file is called ``kit_book_url``.
    folder : Path

    Returns
    -------
    str
        In one line, without the end of it.

    Raises
    ------
    OutputError
        If there is none, or others may read the file. What it holds is never repeated.
    """
    if told := os.environ.get(name):
        return told
    place = folder / name.lower()
    expected = f"{name} in the environment, or this file, its owner's only"
    try:
        open_to = place.stat().st_mode & 0o077 if os.name == "posix" else 0
        words = place.read_text("utf-8").strip()
    except OSError as error:
        found = error.strerror or "no file"
        raise OutputError(str(place), found=found, expected=expected) from None
    except UnicodeDecodeError:
        raise OutputError(str(place), found="no text", expected="one line") from None
    if open_to:
        raise OutputError(
            str(place), found="a file that others may read", expected=f"chmod 600 {place}"
        )
    if not words or len(words.splitlines()) > 1 or len(words) > LONGEST:
        raise OutputError(str(place), found="no single line", expected="one line")
    return words
