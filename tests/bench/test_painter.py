"""The painter: the newest wish wins, and what goes wrong is told."""

import asyncio
import threading

from kit.bench.painter import Painter


def test_while_one_picture_is_made_only_the_newest_wish_waits():
    free = threading.Event()
    made, rests = [], []

    def paint(wanted):
        free.wait(10)
        return wanted

    async def sitting():
        painter = Painter(
            paint,
            lambda wanted, _: made.append(wanted),
            made.append,
            rest=lambda: rests.append(1),
        )
        for wanted in range(1, 101):
            painter.want(wanted)
            await asyncio.sleep(0)
        assert painter.is_busy
        free.set()
        await painter.settled()
        assert not painter.is_busy

    asyncio.run(sitting())

    assert made[0] == 1
    assert made[-1] == 100
    assert len(made) == 2
    assert rests == [1]


def test_a_picture_that_fails_is_told_and_the_next_is_still_made():
    made, told = [], []

    def paint(wanted):
        if wanted == "bad":
            raise ValueError(wanted)
        return wanted

    painter = Painter(paint, lambda _, it: made.append(it), told.append)
    painter.want("bad")
    painter.want("good")

    assert made == ["good"]
    assert [str(error) for error in told] == ["bad"]


def test_without_an_event_loop_the_picture_is_there_at_once():
    made = []
    Painter(lambda wanted: wanted * 2, lambda _, it: made.append(it), made.append).want(21)

    assert made == [42]
