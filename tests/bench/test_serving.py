"""Serving the table: one address, one token, this machine only, nothing left behind."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from urllib.parse import urlsplit

import pytest

from kit.bench.serving import serve
from kit.bench.surroundings import notebooks_copied, surroundings
from kit.errors import OutputError


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """A table that is being served, and its address."""
    place = tmp_path_factory.mktemp("serving")
    running = subprocess.Popen(
        [sys.executable, "-m", "kit", "open", "--no-browser"],
        env=os.environ | {"KIT_BOOK_URL": str(place / "book.sqlite"), "TMPDIR": str(place)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield running, running.stdout.readline().strip(), place
    finally:
        running.kill()
        running.communicate()


class _Straight(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_):
        return None


def _status(address, **headers):
    opener = urllib.request.build_opener(_Straight)
    try:
        with opener.open(
            urllib.request.Request(address, headers=headers), timeout=20
        ) as reply:
            return reply.status, reply.headers.get("Location", "")
    except urllib.error.HTTPError as error:
        error.close()
        return error.code, error.headers.get("Location", "")


def test_the_first_line_is_a_loopback_address_with_a_long_token(server):
    _, address, _ = server
    parts = urlsplit(address)

    assert parts.scheme == "http"
    assert parts.hostname == "127.0.0.1"
    assert len(parts.query.removeprefix("token=")) >= 32


def test_without_the_token_nobody_is_let_in(server):
    _, address, _ = server
    bare = address.split("?")[0]
    status, location = _status(bare)

    assert status in (302, 403)
    assert status == 403 or "login" in location
    assert _status(bare + "?token=wrong")[0] in (302, 403)


def test_the_notebook_and_its_server_cannot_be_reached_around_the_page(server):
    _, address, _ = server
    bare, token = address.split("?")
    for path in ("api/contents", "api/terminals", "api/kernels", "voila/files/table.ipynb"):
        assert _status(f"{bare}{path}?{token}")[0] in (301, 302, 403, 404, 405)


def test_the_typeface_comes_from_this_machine(server):
    _, address, _ = server
    base = address.split("?")[0]
    with urllib.request.urlopen(
        f"{base}voila/templates/pourtable/static/plex-sans.ttf", timeout=20
    ) as reply:
        assert reply.read(4) == b"\x00\x01\x00\x00"


def test_a_signal_ends_it_in_order_and_leaves_nothing_behind(server):
    running, _, place = server
    running.send_signal(signal.SIGTERM)

    assert running.wait(30) == 0
    assert [
        entry.name for entry in place.iterdir() if entry.name.startswith("pourtable-")
    ] == []


def _is_answered(port):
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


@pytest.mark.skipif(os.name == "nt", reason="a child there keeps its dead parent's number")
@pytest.mark.parametrize("more", [[], ["--notebook"]], ids=["page", "notebook"])
def test_the_server_ends_with_whoever_opened_it(tmp_path, more):
    running = subprocess.Popen(
        [sys.executable, "-m", "kit", "open", "--no-browser", *more],
        env=os.environ
        | {
            "KIT_BOOK_URL": str(tmp_path / "book.sqlite"),
            "TMPDIR": str(tmp_path),
            "HOME": str(tmp_path),
        },
        stdout=subprocess.PIPE,
        text=True,
    )
    port = urlsplit(running.stdout.readline().strip()).port
    running.kill()
    running.communicate()
    until = time.monotonic() + 20
    while _is_answered(port) and time.monotonic() < until:
        time.sleep(0.1)

    assert not _is_answered(port)
    while list(tmp_path.glob("pourtable-*")) and time.monotonic() < until:
        time.sleep(0.1)
    assert list(tmp_path.glob("pourtable-*")) == []


def test_a_port_that_is_taken_is_told(demo_sheet, monkeypatch, tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(OutputError, match="--port"):
            serve(demo_sheet, browser=False, port=taken.getsockname()[1])
    with pytest.raises(OutputError, match="--port"):
        serve(demo_sheet, browser=False, port=123_456)


def test_kernels_run_on_this_python_and_the_token_is_on_no_command_line(
    demo_sheet, tmp_path
):
    environment = surroundings(tmp_path, demo_sheet, "a-token")
    spec = (tmp_path / "kernels" / "python3" / "kernel.json").read_text("utf-8")

    assert sys.executable in spec
    assert "a-token" not in spec
    assert environment["JUPYTER_TOKEN"] == "a-token"
    assert environment["JUPYTER_PATH"].split(os.pathsep)[0] == str(tmp_path)


def test_notebooks_are_copied_once_and_never_over_a_changed_one(tmp_path):
    place = notebooks_copied(tmp_path / "mine")
    (place / "table.ipynb").write_text("changed")
    notebooks_copied(place)

    assert (place / "table.ipynb").read_text() == "changed"


def test_a_folder_that_cannot_be_had_is_told(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(OutputError):
        notebooks_copied(tmp_path / "file" / "below")
