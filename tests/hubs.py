"""An office started for real: JupyterHub, its proxy, and people who sit down at tables."""

from __future__ import annotations

import asyncio
import json
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from http.cookiejar import CookieJar
from importlib.util import find_spec
from pathlib import Path

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

PASSWORD = "grey heron, low tide"
PATIENCE_S = 300
"""Two cores may be busy with everything else that is tested."""
NO_HUB = (
    "needs JupyterHub and its proxy: pip install 'pourtable[office]' and "
    "npm install -g configurable-http-proxy@4"
)
FOR_TESTS = """\
load_subconfig({config!r})
c = get_config()
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = {home!r}
c.JupyterHub.authenticator_class = "shared-password"
c.SharedPasswordAuthenticator.user_password = {password!r}
c.Authenticator.allowed_users = {{"ann", "ben"}}
c.JupyterHub.bind_url = "http://127.0.0.1:{ports[0]}"
c.JupyterHub.hub_bind_url = "http://127.0.0.1:{ports[1]}"
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{ports[2]}"
c.JupyterHub.log_level = "WARN"
c.Spawner.environment["NUMBA_CACHE_DIR"] = {kernels!r}
c.Spawner.environment["PYTHONPATH"] = {source!r}
c.Spawner.args = ["--allow-root"]
c.Spawner.start_timeout = c.Spawner.http_timeout = {patience}
"""


def check_programs():
    """Pass if there is all that a hub needs; else say so."""
    if find_spec("jupyterhub") and shutil.which("configurable-http-proxy"):
        return
    if os.environ.get("KIT_REQUIRE_HUB"):
        pytest.fail(NO_HUB)
    pytest.skip(NO_HUB)


class Hub:
    """Started from the configuration that is shipped, but for accounts and ports."""

    def __init__(self, office, homes, kernels):
        self.folder = office
        ports = _free_ports(3)
        self.address = f"http://127.0.0.1:{ports[0]}"
        config = office / "for_tests.py"
        config.write_text(
            FOR_TESTS.format(
                config=str(office / "jupyterhub_config.py"),
                home=f"{homes}/{{username}}",
                password=PASSWORD,
                ports=ports,
                kernels=str(kernels),
                source=str(Path(__file__).parents[1]),
                patience=PATIENCE_S,
            )
        )
        # the office has a book of its own, whichever the tests are told to use
        environment = {k: v for k, v in os.environ.items() if k != "KIT_BOOK_URL"}
        self.log = office / "log"
        with self.log.open("wb") as log:
            self._hub = subprocess.Popen(
                [sys.executable, "-m", "jupyterhub", "--config", str(config)],
                cwd=office,
                env=environment,
                stdout=log,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )
        self._await()

    def _await(self):
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until and self._hub.poll() is None:
            try:
                with urllib.request.urlopen(f"{self.address}/hub/api/", timeout=5):
                    return
            except OSError:
                time.sleep(0.2)
        self.end()
        pytest.fail(f"the hub did not start:\n{self.log.read_text()[-3000:]}")

    @property
    def pid(self):
        return self._hub.pid

    def end(self):
        """End the hub in order, and with it its proxy and every seat."""
        self._hub.send_signal(signal.SIGTERM)
        try:
            self._hub.wait(30)
        except subprocess.TimeoutExpired:
            os.killpg(self._hub.pid, signal.SIGKILL)
            self._hub.wait()


class Person:
    """Someone with a browser's cookies and one open table."""

    def __init__(self, hub, name):
        self.name, self._hub = name, hub
        self._cookies = CookieJar()
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(self._cookies)
        )
        self.frames = []
        self._number = 0

    def get(self, path, **given):
        """Status, address and text of a page, wherever it leads to."""
        request = urllib.request.Request(self._hub.address + path, **given)
        request.add_header("Sec-Fetch-Mode", "navigate")
        request.add_header("Sec-Fetch-Dest", "document")
        try:
            with self._opener.open(request, timeout=PATIENCE_S) as answer:
                return answer.status, answer.url, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.url, error.read().decode("utf-8", "replace")

    def sit_down(self, password=PASSWORD):
        """Log in by the form; the hub then starts the seat."""
        self.get("/hub/login")
        form = {"username": self.name, "password": password, "_xsrf": self.proof("/hub/")}
        data = urllib.parse.urlencode(form).encode()
        return self.get("/hub/login?next=%2Fhub%2Fspawn", data=data)

    def proof(self, path):
        """The token against forged requests that pages under a path were given."""
        return next(c.value for c in self._cookies if c.name == "_xsrf" and c.path == path)

    def page(self, query=""):
        """The table's page, once the seat is ready."""
        until = time.monotonic() + PATIENCE_S
        path = f"/user/{self.name}/voila/render/table.ipynb{query}"
        while time.monotonic() < until:
            status, url, text = self.get(path)
            if status == 200 and "/voila/render/" in url:
                assert "https://" not in text.split("</head>")[1], "fetched from elsewhere"
                return text
            time.sleep(0.5)
        raise AssertionError((status, url, text[:2000]))

    async def open(self, query=""):
        """Open the table and its line to Python."""
        text = await asyncio.to_thread(self.page, query)
        kernel = re.search(r'"kernelId": ?"([\w-]+)"', text)[1]
        self._table = re.search(r'"model_id": ?"(\w+)"', text)[1]
        address = self._hub.address.replace("http", "ws")
        place = f"{address}/user/{self.name}/api/kernels/{kernel}/channels"
        query = f"session_id={self.name}&_xsrf={self.proof(f'/user/{self.name}/')}"
        cookies = [c for c in self._cookies if c.path in ("/", f"/user/{self.name}/")]
        request = HTTPRequest(
            f"{place}?{query}",
            connect_timeout=PATIENCE_S,
            headers={
                "Origin": self._hub.address,
                "Cookie": "; ".join(f"{c.name}={c.value}" for c in cookies),
                "Sec-Fetch-Mode": "websocket",
                "Sec-Fetch-Site": "same-origin",
            },
        )
        self._line = await websocket_connect(request, max_message_size=200_000_000)
        await self.ask(do="hello", came="open")

    async def ask(self, **wish):
        """What the table complains of; "" where it does as it is asked."""
        self._number += 1
        data = {"method": "custom", "content": {**wish, "number": self._number}}
        message = {
            "header": {
                "msg_id": f"{self.name}-{self._number}", "msg_type": "comm_msg",
                "username": self.name, "session": self.name, "date": "", "version": "5.3",
            },
            "parent_header": {}, "metadata": {}, "channel": "shell", "buffers": [],
            "content": {"comm_id": self._table, "data": data},
        }  # fmt: skip
        await self._line.write_message(json.dumps(message))
        told = await self.hears(lambda m: m.get("answered") == self._number)
        return told["complaint"]

    async def hears(self, is_it):
        """Wait for a message of the table's, or for what it shows, that is the one."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            text = await asyncio.wait_for(self._line.read_message(), PATIENCE_S)
            assert text is not None, "the line was closed"
            content = _message(text).get("content", {})
            data = content.get("data", {})
            told = data.get("content") if data.get("method") == "custom" else None
            told = told or data.get("state")
            if told:
                self.frames.append(told)
            if told and content.get("comm_id") == self._table and is_it(told):
                return told
        raise AssertionError("it was not said")

    @property
    def seen(self):
        """All that went over the line, as text."""
        return json.dumps(self.frames, ensure_ascii=False)

    def leave(self):
        self._line.close()


def _message(text):
    if isinstance(text, str):
        return json.loads(text)
    count = struct.unpack(">I", text[:4])[0]  # parts, where each begins; JSON comes first
    begins = [*struct.unpack(f">{count}I", text[4 : 4 * (count + 1)]), len(text)]
    return json.loads(text[begins[0] : begins[1]])


def _free_ports(count):
    doors = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [door.getsockname()[1] for door in doors]
    for door in doors:
        door.close()
    return ports
