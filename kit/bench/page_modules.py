"""The browser's side: plain ES modules and style sheets in ``page/``, no build step.

A widget's script has no address to import its neighbours from, so a small loader
carries their sources and lets the browser link them.
"""

from __future__ import annotations

import json
import re
from importlib.resources import files

_PAGE = files(__package__).joinpath("page")
_IMPORT = re.compile(r'^import .*? from "\./([\w-]+\.js)";$', re.MULTILINE)


def script(entry: str) -> str:
    """Script of a widget whose module is `entry`, with all that it imports."""
    sources: dict[str, str] = {}
    wanted = [entry]
    while wanted:
        name = wanted.pop()
        if name not in sources:
            sources[name] = text(name)
            wanted.extend(_IMPORT.findall(sources[name]))
    loader = text("loader.js")
    return loader.replace("__SOURCES__", json.dumps(sources)).replace("__ENTRY__", entry)


def style(*names: str) -> str:
    """Style sheets one after another."""
    return "\n".join(text(name) for name in names)


def text(name: str) -> str:
    """Text of one file of the page."""
    return _PAGE.joinpath(name).read_text("utf-8")
