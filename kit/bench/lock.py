"""The lock of the owner's side: a passphrase of the owner's, kept only as its hash."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import time
from collections.abc import Callable
from pathlib import Path

from platformdirs import user_config_path

from kit.errors import OutputError, SheetError
from kit.writing import write_file

SHORTEST = 8
"""Characters that a passphrase has at least."""
LONGEST = 200
TRIES = 5
"""Wrong passphrases in a row before the lock rests."""
RESTS_S = 60.0
_COST = {"n": 2**14, "r": 8, "p": 1}
"""Cost of one try: about 16 MB and a tenth of a second, as RFC 7914 suggests."""


class OwnerLock:
    """Opens to the passphrase that was chosen, and to nothing else.

    Parameters
    ----------
    path : Path, optional
        File of the hash; ``KIT_OWNER_LOCK`` or the user's configuration by default.
    clock : callable
        Seconds that never run backwards.

    Notes
    -----
    The hash is scrypt [Percival2016]_ with a salt of its own. A forgotten passphrase
    is chosen anew once the file is deleted: whoever can do that can read the shelf.
    """

    def __init__(
        self, path: Path | None = None, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self.path = path or _usual_path()
        self._clock = clock
        self._wrong = 0
        self._rests_until = 0.0

    @property
    def is_set(self) -> bool:
        """Whether a passphrase was chosen."""
        return self.path.is_file()

    def admit(self, passphrase: str, again: str = "") -> None:
        """Pass if this is the passphrase; the first one, given twice, is it from then on.

        Raises
        ------
        KitError
            As `choose` and `check` do, or if the first one was given in two ways.
        """
        if not self.is_set:
            if again != passphrase:
                raise SheetError(
                    "passphrase", found="two that differ", expected="the same one twice"
                )
            self.choose(passphrase)
        self.check(passphrase)

    def choose(self, passphrase: str) -> None:
        """Set the passphrase, the first time.

        Raises
        ------
        SheetError
            If there is one already, or this one is too short or too long.
        OutputError
            If it cannot be written down.
        """
        if self.is_set:
            raise SheetError("passphrase", found="one already", expected="that one")
        if not SHORTEST <= len(passphrase) <= LONGEST:
            raise SheetError(
                "passphrase",
                found=f"{len(passphrase)} characters",
                expected=f"{SHORTEST} to {LONGEST}",
            )
        salt = secrets.token_bytes(16)
        kept = {"salt": salt.hex(), "hash": _hashed(passphrase, salt).hex()}
        write_file(self.path, json.dumps(kept).encode(), mode=0o600)

    def check(self, passphrase: str) -> None:
        """Pass if this is the passphrase.

        Raises
        ------
        SheetError
            If it is not, or too many in a row were not.
        """
        waits_s = self._rests_until - self._clock()
        if waits_s > 0:
            raise SheetError(
                "passphrase",
                found=f"{TRIES} wrong ones in a row",
                expected=f"another try in {waits_s:.0f} seconds",
            )
        salt, right = self._kept()
        if secrets.compare_digest(_hashed(passphrase[:LONGEST], salt), right):
            self._wrong = 0
            return
        self._wrong += 1
        if self._wrong >= TRIES:
            self._wrong, self._rests_until = 0, self._clock() + RESTS_S
        raise SheetError(
            "passphrase", found="not the one that was chosen", expected="that one"
        )

    def _kept(self) -> tuple[bytes, bytes]:
        try:
            kept = json.loads(self.path.read_bytes())
            return bytes.fromhex(kept["salt"]), bytes.fromhex(kept["hash"])
        except FileNotFoundError:
            raise SheetError("passphrase", found="none", expected="one, chosen") from None
        except (OSError, ValueError, KeyError, TypeError):
            raise OutputError(
                str(self.path), found="a file that holds no passphrase",
                expected="the file as it was written; delete it to choose another",
            ) from None  # fmt: skip


def _usual_path() -> Path:
    if chosen := os.environ.get("KIT_OWNER_LOCK"):
        return Path(chosen)
    return user_config_path("pourtable", appauthor=False) / "owner.json"


def _hashed(passphrase: str, salt: bytes) -> bytes:
    return hashlib.scrypt(passphrase.encode(), salt=salt, dklen=32, **_COST)
