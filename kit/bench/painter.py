"""The painter: makes the picture wanted last, off the main thread, never two at once."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Generic, TypeVar

Wanted = TypeVar("Wanted")


class Painter(Generic[Wanted]):
    """Hold one wish; while a picture is made a newer wish takes the older's place.

    Parameters
    ----------
    paint : callable
        Makes what is wanted; runs beside the main thread where there is an event
        loop, so that prices and answers never wait for it.
    show : callable
        Takes what was made, on the main thread.
    tell : callable
        Takes an exception of `paint` or `show`, on the main thread.
    rest : callable, optional
        Called on the main thread when nothing is wanted any more.
    """

    def __init__(
        self,
        paint: Callable[[Wanted], Any],
        show: Callable[[Wanted, Any], None],
        tell: Callable[[Exception], None],
        *,
        rest: Callable[[], None] = lambda: None,
        hand: ThreadPoolExecutor | None = None,
    ) -> None:
        self._paint = paint
        self._show = show
        self._tell = tell
        self._rest = rest
        # One hand for every picture: two parallel kernels at once may abort the process.
        self._hand = hand or ThreadPoolExecutor(1, thread_name_prefix="painter")
        self._wanted: Wanted | None = None
        self._task: asyncio.Task[None] | None = None
        self._at_work = False
        self._age = 0

    @property
    def is_busy(self) -> bool:
        """Whether a wish is still open."""
        return self._at_work

    @property
    def has_newer(self) -> bool:
        """Whether the picture in the making is already out of date."""
        return self._wanted is not None

    def want(self, wanted: Wanted) -> None:
        """Ask for a picture; only the last that was asked for is sure to be made."""
        self._wanted = wanted
        if self._at_work:
            return
        self._at_work = True
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            asyncio.run(self._work())
            self._rest()
        else:
            self._task = loop.create_task(self._sitting())

    def drop(self) -> None:
        """Want nothing any more; what is in the making is still finished."""
        self._wanted = None

    def forget(self) -> None:
        """Want nothing any more, and never show what is in the making."""
        self._wanted = None
        self._age += 1

    async def settled(self) -> None:
        """Wait until nothing is wanted any more."""
        if self._task is not None:
            await self._task

    async def _sitting(self) -> None:
        await self._work()
        self._rest()

    async def _work(self) -> None:
        loop = asyncio.get_running_loop()
        while self._wanted is not None:
            wanted, self._wanted = self._wanted, None
            age = self._age
            try:
                made = await loop.run_in_executor(self._hand, self._paint, wanted)
                if age == self._age:
                    self._show(wanted, made)
            except Exception as error:
                self._tell(error)
        self._at_work = False


def later(delay_s: float, does: Callable[[], object]) -> asyncio.TimerHandle | None:
    """Do something after a while; at once where no event loop runs."""
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        does()
        return None
    return loop.call_later(delay_s, does)
