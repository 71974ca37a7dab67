"""What a ratio was measured on, and which further peers are there to measure beside."""

from __future__ import annotations

import os
import platform
import shutil
from ctypes.util import find_library
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

PEERS = (
    "scipy",
    "opencv-python-headless",
    "mitsuba",
    "networkx",
    "jax",
    "moderngl",
    "reportlab",
    "weasyprint",
)
"""Packages the kit is measured beside where they are installed."""
TOOLS = ("cc",)
"""Programs that are called for the same."""


LIBRARIES = {
    "weasyprint": ("pango-1.0", "pangoft2-1.0", "harfbuzz"),
    "moderngl": ("EGL",),
}
"""What a wheel loads and does not carry: Debian's libpango-1.0-0 and libpangoft2-1.0-0;
libegl1 and libgl1-mesa-dri."""


def facts() -> dict[str, str]:
    """Machine, versions and load, in words."""
    packages = ("numpy", "numba", "llvmlite", "pillow", "scipy")
    load = getattr(os, "getloadavg", lambda: ())()
    return {
        "processor": f"{_processor()}, {os.cpu_count()} cores, one thread used",
        "system": f"{platform.system()} {platform.release()}, {platform.machine()}",
        "versions": ", ".join(
            [
                f"python {platform.python_version()}",
                *(f"{p} {version(p)}" for p in packages),
            ]
        ),
        "load": " ".join(f"{part:.2f}" for part in load) or "not told",
        "absent peers": ", ".join(absent()) or "none",
    }


def absent() -> list[str]:
    """Packages and programs to be measured beside that are not installed."""
    packages = [name for name in PEERS if not (_is_installed(name) and _is_whole(name))]
    return packages + [tool for tool in TOOLS if shutil.which(tool) is None]


def _is_whole(name: str) -> bool:
    """Whether the system's libraries that a peer cannot do without are there."""
    return all(find_library(library) for library in LIBRARIES.get(name, ()))


def _is_installed(name: str) -> bool:
    try:
        version(name)
    except PackageNotFoundError:
        return False
    return True


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or "unknown processor"
    names = [line.partition(":")[2].strip() for line in lines if "model name" in line]
    return names[0] if names else platform.processor() or "unknown processor"
