"""Open the table in a browser: a page without code, or the notebook itself.

Both are served to this machine only, under an address with a random token.
"""

from __future__ import annotations

import secrets
import signal
import socket
import subprocess
import sys
import threading
import time
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from types import FrameType

from kit.bench.surroundings import LATELY, TEMPLATE, notebooks_copied, surroundings
from kit.errors import OutputError
from kit.shipped import shipped

LOOPBACK = "127.0.0.1"
IDLE_S = 120
"""A kernel whose page has gone is shut down after this long."""
STARTS_S = 60.0
"""A server that has not answered by then will not."""
EXTENSIONS = (
    "anywidget",
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/jupyterlab-preview",
    "@voila-dashboards/widgets-manager8",
)
"""Front-end extensions the page needs; whatever else is installed stays out of it."""


def serve(
    sheet: Path | str | None,
    *,
    goes_on: bool = False,
    notebook: bool = False,
    browser: bool = True,
    port: int = 0,
) -> int:
    """Serve the table until it is stopped by Ctrl-C or by a signal to end.

    The address with its token is the first line on standard output.

    Parameters
    ----------
    sheet : path or None
        Measure sheet to open, or a job that was saved as a file; None begins a job with
        nothing measured.
    goes_on : bool
        Rather open the job that was kept last, if the book holds one.
    notebook : bool
        Serve JupyterLab on a copy of the notebook, with its code.
    browser : bool
        Open the address in the user's browser.
    port : int
        Port on 127.0.0.1; 0 takes any that is free.

    Returns
    -------
    int
        0 when it was stopped, else what the server ended with.

    Raises
    ------
    KitError
        If the sheet cannot be read, or the port or folder cannot be had.
    """
    place = None if sheet is None else Path(sheet).resolve()
    port = _free_port(port)
    token = secrets.token_urlsafe(24)
    with TemporaryDirectory(prefix="pourtable-") as own:
        folder = Path(own)
        environment = surroundings(folder, place, token)
        if notebook:
            command, path = _lab_command(port), "lab/tree/table.ipynb"
        else:
            command, path = _page_command(folder, port), ""
        address = f"http://{LOOPBACK}:{port}/{path}?token={token}"
        try:
            with _running(command, environment, folder) as server:
                _begin(folder, place, goes_on=goes_on)  # while the server starts
                _await(server, port)
                sys.stdout.write(f"{address}\n")
                sys.stdout.flush()
                if browser:
                    webbrowser.open(address)
                return server.wait()
        except KeyboardInterrupt:
            return 0


def _page_command(folder: Path, port: int) -> list[str]:
    return [
        sys.executable, "-m", "voila", str(shipped("notebooks") / "table.ipynb"),
        f"--port={port}", f"--Voila.ip={LOOPBACK}", "--Voila.auto_token=True",
        "--no-browser",
        f"--Voila.config_file_paths={folder / 'settings'}",
        f"--Voila.connection_dir_root={folder}",
        f"--template={TEMPLATE}",
        "--VoilaConfiguration.allow_template_override=NO",
        "--VoilaConfiguration.allow_theme_override=NO",
        *(f"--VoilaConfiguration.extension_allowlist={name}" for name in EXTENSIONS),
        *culling(IDLE_S), "--Voila.log_level=ERROR",
    ]  # fmt: skip


def _lab_command(port: int) -> list[str]:
    return [
        sys.executable, "-W", "ignore", "-m", "jupyterlab", "--no-browser", "--allow-root",
        f"--ServerApp.port={port}", "--ServerApp.port_retries=0",
        f"--ServerApp.ip={LOOPBACK}",
        f"--ServerApp.root_dir={notebooks_copied()}",
        # Nothing is fetched: no versions, no catalogue of extensions.
        "--LabApp.extension_manager=readonly",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        *culling(60 * IDLE_S), "--log-level=ERROR",
    ]  # fmt: skip


def culling(idle_s: int) -> list[str]:
    """Options by which a kernel whose page has gone is ended; one with a page is left."""
    return [
        f"--MappingKernelManager.cull_idle_timeout={idle_s}",
        "--MappingKernelManager.cull_interval=20",
    ]


def _begin(folder: Path, sheet: Path | None, *, goes_on: bool) -> None:
    """Note for the kernels which job to work on.

    Raises
    ------
    KitError
        If the sheet or the price book cannot be read: told of here, not in the browser.
    """
    from kit.bench.beginning import begun, read_job
    from kit.bench.lately import Lately
    from kit.stock import read_shelf

    read_shelf()
    if sheet is not None and not goes_on:
        read_job(sheet)
    Lately(folder / LATELY).begin(lambda: begun(sheet, goes_on=goes_on))


def _free_port(asked: int) -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        try:
            probe.bind((LOOPBACK, asked))
        except (OSError, OverflowError) as error:
            raise OutputError(
                "--port", found=asked, expected=f"a free port of this machine ({error})"
            ) from None
        return int(probe.getsockname()[1])


@contextmanager
def _running(
    command: list[str], environment: dict[str, str], folder: Path
) -> Iterator[subprocess.Popen[bytes]]:
    """Run the server; whatever happens, it and its kernels are gone afterwards."""

    def stop(_: int, __: FrameType | None) -> None:
        raise KeyboardInterrupt

    in_main = threading.current_thread() is threading.main_thread()
    before = signal.signal(signal.SIGTERM, stop) if in_main else None
    # A group of its own, so that Ctrl-C reaches us first and the server is ended in order.
    server = subprocess.Popen(
        command,
        env=environment,
        cwd=folder,
        stdout=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        yield server
    finally:
        server.terminate()
        try:
            server.wait(timeout=10)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()
        if in_main:
            signal.signal(signal.SIGTERM, before)


def _await(server: subprocess.Popen[bytes], port: int) -> None:
    until = time.monotonic() + STARTS_S
    while time.monotonic() < until and server.poll() is None:
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
            probe.settimeout(1.0)
            if probe.connect_ex((LOOPBACK, port)) == 0:
                return
        time.sleep(0.05)
    raise OutputError(
        "table", found="a server that did not start", expected="see the lines above"
    )
