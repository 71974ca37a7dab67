"""What the site gate says: a verdict a check, what it stands on, and what to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "marginal", "stop"]
"""Go on; go on knowing of a risk; do not coat."""

ORDER: tuple[Verdict, ...] = ("pass", "marginal", "stop")
"""From the best to the worst."""


@dataclass(frozen=True)
class GateCheck:
    """One thing that is checked before anything is coated.

    Parameters
    ----------
    key : str
        ``rh``, ``dew_point``, ``lead``.
    name : str
        As a crew calls it.
    verdict : {"pass", "marginal", "stop"}
        Never "pass" without a reading where one can be taken.
    found : str
        The readings or facts it stands on, with place, instrument and day.
    limit : str
        What it is held to, and whose limit that is.
    do : str
        What to do; empty where there is nothing to do.
    source : str
    """

    key: str
    name: str
    verdict: Verdict
    found: str
    limit: str
    do: str
    source: str


@dataclass(frozen=True)
class GateReport:
    """All checks of a site, the worst of which is the verdict."""

    checks: tuple[GateCheck, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst verdict among the checks."""
        return worst(check.verdict for check in self.checks)

    def of(self, verdict: Verdict) -> tuple[GateCheck, ...]:
        """Checks with that verdict."""
        return tuple(check for check in self.checks if check.verdict == verdict)

    def check(self, key: str) -> GateCheck:
        """The check of that key."""
        return next(check for check in self.checks if check.key == key)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of some verdicts; of none, "stop", for nothing was checked.

    >>> worst(["pass", "marginal"]), worst([])
    ('marginal', 'stop')
    """
    found = list(verdicts)
    return max(found, key=ORDER.index) if found else "stop"
