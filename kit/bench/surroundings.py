"""What server and kernel find around them: our template, typeface, Python and notebooks."""

from __future__ import annotations

import json
import os
import shutil
import sys
from importlib.resources import files
from pathlib import Path

from platformdirs import user_documents_path

from kit.bench.face import plex_sans
from kit.errors import OutputError
from kit.shipped import shipped

TEMPLATE = "pourtable"
LATELY = "lately"
"""Folder of what a server and its tables note for each other."""
BLANK = "-"
"""Stands in the place of a sheet's name where a job is begun with nothing measured."""
_WATCHING = """\
from pathlib import Path
from kit.bench.watching import end_with_opener

end_with_opener(Path(__file__).parents[1])
"""
PINGS_EVERY_MS, ANSWERS_WITHIN_MS = 10_000, 35_000
"""A page is pinged; one that has not answered for longer than three pings has gone.

Less than two would end every connection at its first ping, before it could be answered.
"""
_VOUCHING = """\
import logging
from kit.bench.vouching import vouch

# tornado would remark that it takes both for seconds
logging.getLogger("tornado.general").setLevel(logging.ERROR)
c.VoilaConfiguration.prelaunch_hook = vouch
"""
_PINGED = f"""\
c.{{server}}.tornado_settings = {{{{
    "ws_ping_interval": {PINGS_EVERY_MS}, "ws_ping_timeout": {ANSWERS_WITHIN_MS}
}}}}
"""
_LEAN = """\
c.ServerApp.jpserver_extensions = {"jupyter_lsp": False, "jupyter_server_terminals": False}
# what sets formulas would be fetched from elsewhere
c.ServerApp.tornado_settings["mathjax_url"] = None
"""
_QUIET = json.dumps(
    {"disabledExtensions": {"@jupyterlab/apputils-extension:announcements": True}}
)


def surroundings(folder: Path, sheet: Path | None, token: str) -> dict[str, str]:
    """Environment of server and kernel: our template, font and Python, nobody's settings.

    `folder` receives what Jupyter must find; nothing is written where the kit is
    installed.
    """
    _lay_out(folder)
    settings = folder / "settings"
    pinged = _PINGED.format(server="Voila")
    (settings / "voila.py").write_text(_WATCHING + _VOUCHING + pinged, "utf-8")
    (settings / "jupyter_lab_config.py").write_text(_WATCHING, "utf-8")
    return _found_in(folder) | {
        "JUPYTER_TOKEN": token,
        "KIT_OPENER": str(os.getpid()),
        "KIT_SHEET": BLANK if sheet is None else str(sheet),
    }


def seated(folder: Path) -> dict[str, str]:
    """Environment of a server that JupyterHub starts for one person, and of its kernels.

    `folder` receives what Jupyter must find, as for `surroundings`.
    """
    _lay_out(folder)
    settings = folder / "settings"
    (settings / "voila.py").write_text(_VOUCHING, "utf-8")
    pinged = _PINGED.format(server="ServerApp")
    (settings / "jupyter_server_config.py").write_text(pinged + _LEAN, "utf-8")
    return _found_in(folder) | {"KIT_SHEET": BLANK}


def _found_in(folder: Path) -> dict[str, str]:
    """The environment with our folder before those of the user."""

    def first(place: Path, name: str) -> str:
        return os.pathsep.join([str(place), *filter(None, [os.environ.get(name)])])

    environment = os.environ | {
        "JUPYTER_PATH": first(folder, "JUPYTER_PATH"),
        "JUPYTER_CONFIG_PATH": first(folder / "settings", "JUPYTER_CONFIG_PATH"),
        "KIT_LATELY": str(folder / LATELY),
        "KIT_LOOKS": str(folder / "looks.json"),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    package = Path(__file__).resolve().parents[2]
    if not {"site-packages", "dist-packages"} & set(package.parts):
        environment["PYTHONPATH"] = first(package, "PYTHONPATH")
    return environment


def notebooks_copied(folder: Path | None = None) -> Path:
    """Put copies of the notebooks where they may be changed; copies already there stay."""
    place = folder or user_documents_path() / "Pourtable"
    try:
        place.mkdir(parents=True, exist_ok=True)
        for notebook in sorted(shipped("notebooks").glob("*.ipynb")):
            if not (place / notebook.name).exists():
                shutil.copyfile(notebook, place / notebook.name)
    except OSError as error:
        raise OutputError(
            str(place),
            found=error.strerror or str(error),
            expected="a folder to copy notebooks to",
        ) from None
    return place


def _lay_out(folder: Path) -> None:
    """Template, font and kernel, found before any that the user has of the same name."""
    template = folder / "voila" / "templates" / TEMPLATE
    template.mkdir(parents=True)
    for file in files(__package__).joinpath("voila", "templates", TEMPLATE).iterdir():
        (template / file.name).write_bytes(file.read_bytes())
    (template / "static").mkdir()
    (template / "static" / "plex-sans.ttf").write_bytes(plex_sans())
    kernel = folder / "kernels" / "python3"
    kernel.mkdir(parents=True)
    launch = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
    launch += ["--IPKernelApp.log_level=ERROR"]
    spec = {"argv": launch, "display_name": "Pourtable", "language": "python"}
    (kernel / "kernel.json").write_text(json.dumps(spec), "utf-8")
    # Not beside the rest: the server starts there, and would take it for the package.
    (folder / "settings" / "labconfig").mkdir(parents=True)
    (folder / "settings" / "labconfig" / "page_config.json").write_text(_QUIET, "utf-8")
