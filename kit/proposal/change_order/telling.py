"""What changes, sentence by sentence, in the language of the paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kit.proposal import figures, wording
from kit.proposal.measures import Measures

if TYPE_CHECKING:
    from kit.job import Workup
    from kit.job.change import Change


def told_changes(change: Change, measures: Measures) -> tuple[str, ...]:
    """Say what changes on the floor, and then what else was asked for.

    Finish, colors, pour and rooms are told as such; of all other work in the price, what
    comes in and what is left out, as the proposal words it.
    """
    told = [
        *_finish(change, measures),
        *_pour(change, measures),
        *_rooms(change, measures),
        *_scope(change, measures),
    ]
    return tuple([*told, change.said] if change.said else told)


def _finish(change: Change, measures: Measures) -> Iterator[str]:
    say = measures.words
    before, after = (say.told(_chosen(one)).lower() for one in (change.old, change.new))
    if before != after:
        yield say("change_order.finish", before=before, after=after)


def _pour(change: Change, measures: Measures) -> Iterator[str]:
    say = measures.words
    before, after = change.before.recipe, change.after.recipe
    if before.palette != after.palette:
        colors = [
            f"{say.told(change.shelf.pigment(color.pigment).name)} "
            f"{figures.percent(color.share, say.locale)}"
            for color in after.palette.colours
        ]
        yield say("change_order.colors", colors=say.listed(colors))
    if (before.flow, before.seed) != (after.flow, after.seed):
        from kit.job import pour_number

        yield say("change_order.pour", number=str(pour_number(after)))


def _rooms(change: Change, measures: Measures) -> Iterator[str]:
    say = measures.words
    before, after = (
        {room.name: room.net_m2 for room in one.takeoff.rooms}
        for one in (change.old, change.new)
    )
    for name in before:
        if name not in after:
            yield say("change_order.room_out", room=name)
    for name, area_m2 in after.items():
        area = measures.area(area_m2)
        if name not in before:
            yield say("change_order.room_in", room=name, area=area)
        elif (was := measures.area(before[name])) != area:
            yield say("change_order.room", room=name, before=was, after=area)


def _scope(change: Change, measures: Measures) -> Iterator[str]:
    before, after = (_other_work(one, measures) for one in (change.old, change.new))
    say = measures.words
    for words in after:
        if words not in before:
            yield say("change_order.now_in", scope=words)
    for words in before:
        if words not in after:
            yield say("change_order.no_longer", scope=words)


def _other_work(answers: Workup, measures: Measures) -> tuple[str, ...]:
    """What is in the price, but for the coats, which follow from finish and colors."""
    all_of_it = wording.scope_words(
        answers.takeoff, answers.system, answers.work, answers.offer, measures
    )
    coats = wording.coat_lines(answers.system, answers.offer, measures.words)
    return tuple(words for words in all_of_it if words not in coats)


def _chosen(answers: Workup) -> str:
    return next(option.name for option in answers.offer.options if option.chosen)
