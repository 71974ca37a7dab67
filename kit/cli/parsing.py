"""How a command line is read, and refused."""

from __future__ import annotations

import argparse
from typing import NoReturn

BAD_INPUT = 2
"""Exit code of what cannot be."""


class Parser(argparse.ArgumentParser):
    """Complains in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(BAD_INPUT, f"{self.prog}: {message}; see {self.prog} --help\n")
