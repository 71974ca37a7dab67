"""The seat of one person: what JupyterHub starts for each, `python -m kit.office.seat`.

It lays out the table's own surroundings, finds the job that this person kept last, or
begins one, and becomes the person's own server.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from platformdirs import user_cache_path

from kit.bench.beginning import begun_by
from kit.bench.lately import Lately
from kit.bench.serving import EXTENSIONS, culling
from kit.bench.surroundings import LATELY, TEMPLATE, notebooks_copied, seated

IDLE_S = 120
"""A kernel whose page has gone is ended after this long."""
LONGEST_NAME = 80


def main() -> None:
    """Become the server of the person whom JupyterHub names."""
    who = os.environ.get("JUPYTERHUB_USER", "")[:LONGEST_NAME]
    folder = user_cache_path("pourtable", appauthor=False) / "seat"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(mode=0o700, parents=True)
    os.environ["KIT_WHO"] = who
    os.environ.update(seated(folder))
    Lately(folder / LATELY).begin(lambda: begun_by(who))
    command = [*_command(notebooks_copied(Path.home() / "Pourtable")), *sys.argv[1:]]
    os.execv(sys.executable, command)


def _command(folder: Path) -> list[str]:
    return [
        sys.executable, "-m", "jupyterhub.singleuser", "--no-browser",
        f"--ServerApp.root_dir={folder}",
        "--ServerApp.terminals_enabled=False", "--log-level=WARN",
        "--LabApp.extension_manager=readonly",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        f"--VoilaConfiguration.template={TEMPLATE}",
        "--VoilaConfiguration.allow_template_override=NO",
        "--VoilaConfiguration.allow_theme_override=NO",
        *(f"--VoilaConfiguration.extension_allowlist={name}" for name in EXTENSIONS),
        *culling(IDLE_S),
    ]  # fmt: skip


if __name__ == "__main__":
    main()
