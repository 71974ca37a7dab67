"""Which lanes share their buckets: as few as give the mixers time for the next set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from kit.plan.lanes import Lane
from kit.plan.pace import STALL_MIN
from kit.work.mixers import LEAST_SET_MIN, SLACK, Mixers
from kit.work.mixing import CARRY_MIN, MIX_MIN, POURED_BY

ML_PER_L = 1000
LEAST_ML = 0.5
FULL = 0.75
"""A set whose largest bucket is so full takes no further lane."""
OF_POT_LIFE = 0.3
"""A set lasts at least this share of a full bucket's life: fewer buckets, none hurried."""
LEAST_L = 0.25
"""Least of a color that is mixed for a lane, about 8 fl oz. [l]"""


def fold(rows: list[list[float]]) -> None:
    """Too little to mix is poured over the edge, from the bucket of the lane beside."""
    for place in range(len(rows[0])):
        for n, row in enumerate(rows):
            if sum(1 for litre in row if litre > 0.0) < 2:
                continue
            beside = [rows[m] for m in (n - 1, n + 1, n - 2, n + 2) if 0 <= m < len(rows)]
            if 0.0 < row[place] < LEAST_L and beside:
                most = max(beside, key=lambda other: other[place])
                if most[place] > row[place]:
                    most[place] += row[place]
                    row[place] = 0.0


def grouped(
    lanes: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> list[list[Lane]]:
    """Lanes in sets, from the last: each lasts while the one after it is mixed."""
    groups: list[list[Lane]] = [[]]
    for lane in reversed(lanes):
        following = groups[1] if len(groups) > 1 else []
        if groups[0] and _lasts(groups[0], following, litres, mixers):
            groups.insert(0, [])
        groups[0].insert(0, lane)
    if len(groups) > 1 and not _lasts(groups[0], groups[1], litres, mixers):
        both = [*groups[0], *groups[1]]
        if _is_young(both, litres, mixers):
            groups[:2] = [both]
    return groups


def _lasts(
    group: Sequence[Lane],
    following: Sequence[Lane],
    litres: Mapping[int, Sequence[float]],
    mixers: Mixers,
) -> bool:
    """Whether a set is laid no sooner than the next is mixed, and pays for its own."""
    next_min = mixers.waves(buckets(following, litres, mixers)) * MIX_MIN
    labor_min = buckets(group, litres, mixers) * MIX_MIN
    own_min = labor_min / (mixers.buckets_share * mixers.people) / SLACK
    calm_min = OF_POT_LIFE * mixers.pot_life_min(mixers.batch_l)
    least_min = max(next_min, calm_min, min(own_min, LEAST_SET_MIN))
    is_full = max(needed(group, litres)) > FULL * mixers.batch_l
    return is_full or group[-1].to_min - group[0].from_min >= least_min - 1e-9


def _is_young(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> bool:
    count = buckets(group, litres, mixers)
    poured = group[-1].from_min + POURED_BY * (group[-1].to_min - group[-1].from_min)
    age_min = poured - group[0].from_min + mixers.waves(count) * MIX_MIN + CARRY_MIN
    largest_l = max(needed(group, litres))
    return age_min < mixers.pot_life_min(min(largest_l, mixers.batch_l)) - STALL_MIN / 2


def needed(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]]
) -> tuple[float, ...]:
    """What a set needs of each color. [l]"""
    return tuple(map(sum, zip(*(litres[lane.number] for lane in group), strict=True)))


def buckets(
    group: Sequence[Lane], litres: Mapping[int, Sequence[float]], mixers: Mixers
) -> int:
    """Buckets of a set, each color apart."""
    if not group:
        return 0
    return sum(counted(litre, mixers.batch_l) for litre in needed(group, litres))


def counted(volume_l: float, batch_l: float) -> int:
    """Buckets for a volume; less than half a millilitre is none."""
    return ceil(volume_l / batch_l - 1e-9) if volume_l * ML_PER_L >= LEAST_ML else 0
