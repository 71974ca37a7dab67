"""Lets a page end its own kernel: run inside the server, once for every page."""

from __future__ import annotations

from typing import Any


def vouch(handler: Any, notebook: Any, cwd: str) -> None:  # noqa: ARG001
    """Give the page the cookie without which its farewell would be refused."""
    handler.xsrf_token  # noqa: B018  reading it sets the cookie
