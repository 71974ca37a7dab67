"""The browser's files: complete, local, and readable in both themes."""

import re
from importlib.resources import files

import pytest

from kit.bench.page_modules import script, style, text
from kit.look.colour import contrast

PAGE = files("kit.bench").joinpath("page")
NAMES = sorted(
    entry.name for entry in PAGE.iterdir() if entry.name.endswith((".js", ".css"))
)
TEMPLATE = files("kit.bench").joinpath("voila", "templates", "pourtable")

# WCAG 2.2: 1.4.3 asks 4.5 to 1 of text, 1.4.11 asks 3 to 1 of what marks a control.
TEXT, CONTROL = 4.5, 3.0
PAIRS = [
    ("ink", "ground", TEXT), ("ink", "sheet", TEXT), ("ink", "raised", TEXT),
    ("ink", "wash", TEXT), ("ink2", "sheet", TEXT), ("ink2", "raised", TEXT),
    ("ink2", "wash", TEXT), ("ink", "warnwash", TEXT), ("onchalk", "chalk", TEXT),
    ("chalk", "sheet", TEXT), ("warn", "warnwash", CONTROL), ("ok", "sheet", CONTROL),
    ("edge", "sheet", CONTROL), ("edge", "raised", CONTROL), ("edge", "ground", CONTROL),
    ("ontape", "tape", TEXT), ("ontape2", "tape", TEXT), ("ontape", "tapehi", TEXT),
    ("ontape2", "tapehi", TEXT),
]  # fmt: skip


@pytest.mark.parametrize("entry", ["frame.js", "stage.js"])
def test_a_script_carries_every_module_that_it_imports(entry):
    whole = script(entry)

    assert "__SOURCES__" not in whole
    assert "__ENTRY__" not in whole
    for name in NAMES:
        for imported in re.findall(r'from "\./([\w-]+\.js)"', text(name)):
            assert imported in NAMES
    assert '"dom.js"' in whole


def test_every_module_is_reached_from_one_of_the_widgets():
    carried = script("frame.js") + script("stage.js")
    missing = [
        n
        for n in NAMES
        if n.endswith(".js") and n != "loader.js" and f'"{n}"' not in carried
    ]

    assert missing == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_on_the_page_comes_from_elsewhere(name):
    addresses = re.findall(r"(?:https?:)?//[\w.-]+\.\w+[^\s\"')]*", text(name))

    assert [a for a in addresses if "www.w3.org/2000/svg" not in a] == []


@pytest.mark.parametrize("file", ["index.html.j2", "page.html", "error.html"])
def test_the_template_asks_nothing_of_the_network(file):
    assert "//" not in re.sub(
        r"^\s*//.*$", "", TEMPLATE.joinpath(file).read_text("utf-8"), flags=re.MULTILINE
    )


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(("fore", "ground", "least"), PAIRS)
def test_tokens_keep_their_contrast(theme, fore, ground, least):
    light, dark = text("theme.css").split("@media (prefers-color-scheme: dark)")[:2]
    tokens = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", light))
    if theme:
        tokens |= dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", dark))

    assert contrast(tokens[fore], tokens[ground]) >= least


def test_every_token_that_is_used_is_declared():
    css = style(
        "theme.css",
        "stage.css",
        "frame.css",
        "controls.css",
        "panels.css",
        "board.css",
        "rooms.css",
    )
    used = set(re.findall(r"var\(--([\w-]+)\)", css))
    declared = set(re.findall(r"--([\w-]+):", css))

    assert used - declared - {"left", "top", "at", "usual"} == set()
