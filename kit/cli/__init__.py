"""The command line: one verb a file, one line for every complaint."""

from kit.cli.front import main

__all__ = ["main"]
