"""What was done lately at the tables of one server: which job lay there, and the way back.

It is kept beside the server and goes with it. A page that is loaded again has a Python of
its own, which would know of neither.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from pydantic import ValidationError

from kit.bench.keeping import SETTLES_S
from kit.bench.painter import later
from kit.bench.state import TableState
from kit.errors import BookError, OutputError
from kit.job import Job
from kit.writing import write_file

STEPS_KEPT = 60
"""How far back a page that was loaded again can undo, and redo."""


class Lately:
    """Notes of one server.

    A note that cannot be written or read is no reason to stop a visit.

    Parameters
    ----------
    folder : Path
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._texts: dict[int, tuple[Job, str]] = {}

    @classmethod
    def of_this_server(cls) -> Lately | None:
        """The notes that the environment names, if a server runs this table."""
        folder = os.environ.get("KIT_LATELY")
        return cls(Path(folder)) if folder else None

    @property
    def begun_on(self) -> str:
        """The job that the server was started on; "" if none was."""
        return self._read(self._begun)

    @property
    def unkept(self) -> str:
        """Why nothing is kept in the book; "" if it is."""
        return self._read(self._unkept)

    @property
    def job_id(self) -> str:
        """The job that was laid on a table last; "" if none was."""
        return self._read(self._last)

    def begin(self, begun: Callable[[], str]) -> None:
        """Note which job the server is started on, or why there is no book to keep it in.

        Parameters
        ----------
        begun : callable
            Gives that job's id. Without a book the table opens all the same.
        """
        try:
            self._write(self._begun, begun())
        except BookError as error:
            sys.stderr.write(f"nothing will be kept in the job book: {error}\n")
            self._write(self._unkept, str(error))

    def laid(self, job_id: str) -> None:
        """Note which job lies on a table now."""
        self._write(self._last, job_id)

    def follow(self, state: TableState, job_id: str) -> None:
        """Note the way back once the job has settled."""
        job = state.job
        later(SETTLES_S, lambda: self.keep(state, job_id) if state.job is job else None)

    def keep(self, state: TableState, job_id: str) -> None:
        """Note the way back, and forward again, from the job as it stands."""
        before, after = state.steps
        before, after = before[-STEPS_KEPT:], after[-STEPS_KEPT:]
        self._texts = {id(j): (j, self._text(j)) for j in (*before, state.job, *after)}
        texts = {
            "now": self._text(state.job),
            "before": [self._text(job) for job in before],
            "after": [self._text(job) for job in after],
        }
        self._write(self._steps(job_id), json.dumps(texts))

    def give_back(self, state: TableState, job_id: str) -> None:
        """Let a job that lies there as it was left be undone as far as it could be."""
        with suppress(OSError, ValueError, KeyError, TypeError, ValidationError):
            texts = json.loads(self._steps(job_id).read_text("utf-8"))
            if Job.model_validate_json(texts["now"]) != state.job:
                return
            before, after = (
                [Job.model_validate_json(text) for text in texts[way][-STEPS_KEPT:]]
                for way in ("before", "after")
            )
            state.remember(before, after)

    @property
    def _begun(self) -> Path:
        return self._folder / "begun"

    @property
    def _unkept(self) -> Path:
        return self._folder / "unkept"

    @property
    def _last(self) -> Path:
        return self._folder / "laid"

    def _steps(self, job_id: str) -> Path:
        plain = "".join(letter for letter in job_id if letter.isalnum())
        return self._folder / f"steps-{plain}.json"

    def _text(self, job: Job) -> str:
        known = self._texts.get(id(job))
        return known[1] if known else job.model_dump_json(by_alias=True)

    def _read(self, path: Path) -> str:
        try:
            return path.read_text("utf-8").strip()
        except (OSError, ValueError):
            return ""

    def _write(self, path: Path, text: str) -> None:
        with suppress(OutputError):
            write_file(path, text.encode(), mode=0o600)
