"""Mix cards, one a bucket, and the sample board mixed in the same shares."""

from __future__ import annotations

from kit.coats.mixing import split_of
from kit.coats.system import Coat, System
from kit.job.pouring import Pouring
from kit.jobpack.amounts import (
    clock,
    gallons_of,
    grams,
    jug,
    millilitres,
    numbered,
    scale,
)
from kit.jobpack.lists import has_lanes_of
from kit.jobpack.shown import Card, CardSheet, Row, Table
from kit.units import M2_PER_FT2, fahrenheit, mils
from kit.work.mixing import Batch, BatchSet, MixingPlan

BOARD_FT2 = 4.0
"""A sample board: two by two feet."""
OVER = 1.15
"""Mixed for a board over its film: little stays on the board of a little."""
L_PER_M2_UM = 1e-3


def card_sheets(pouring: Pouring) -> tuple[CardSheet, ...]:
    """Cards of every pass, in the order of mixing."""
    return tuple(_sheet(plan, pouring) for plan in pouring.mixings)


def _sheet(plan: MixingPlan, pouring: Pouring) -> CardSheet:
    warm = f"{fahrenheit(plan.slab_c):.0f} °F"
    note = (
        f"{len(plan.batches)} buckets, {gallons_of(plan.volume_l)}. 0:00 is the first "
        f"drop, see Days and steps for the hour. Times hold on a slab of {warm}; a "
        "warmer one leaves less: work it out again. A bucket is good from A meets B."
    )
    if has_lanes_of(plan, pouring.flood):
        note += " Lanes: see the map"
        note += " and their list for shares." if len(plan.colours) > 1 else "."
    else:
        note += " Lanes are this coat's own: see its list."
    cards = [
        _card(plan, one, batch, few=plan.order.days > 1)
        for one in plan.sets
        for batch in one.batches
    ]
    return CardSheet(plan.name, note, tuple(cards))


def _card(plan: MixingPlan, one: BatchSet, batch: Batch, *, few: bool) -> Card:
    parts = batch.parts
    late = "; ".join(one.late) if one.late else "nothing is lost"
    day = f"Zone {one.day} · " if few else ""
    return Card(
        name=batch.name,
        coat=f"{day}{plan.name}, {mils(plan.coat.film_um):.0f} mil",
        colour=batch.colour or "No color",
        lanes=f"{'lanes' if len(batch.lanes) > 1 else 'lane'} {numbered(batch.lanes)}",
        mixer=str(batch.mixer),
        part_a=f"{jug(parts.a_l)} · {millilitres(parts.a_l)}",
        part_a_weight=_weighed(parts.a_kg),
        part_b=f"{jug(parts.b_l)} · {millilitres(parts.b_l)}",
        part_b_weight=_weighed(parts.b_kg),
        pigment=_weighed(batch.pigment_kg) if batch.pigment_kg else "",
        grain=_weighed(batch.grain_kg) if batch.grain_kg else "",
        whole=gallons_of(batch.volume_l),
        mix_at=clock(batch.mix_at_min),
        pour_at=clock(batch.pour_at_min),
        empty_by=clock(batch.empty_by_min),
        pot_life=f"{batch.pot_life_min:.0f} min",
        late=late,
    )


def _weighed(mass_kg: float | None) -> str:
    return "" if mass_kg is None else f"{scale(mass_kg)} · {grams(mass_kg)}"


def board_tables(system: System) -> tuple[Table, ...]:
    """The coats of a sample board, each color in its share of the floor."""
    return tuple(_board(coat) for coat in system.coats)


def _board(coat: Coat) -> Table:
    whole_l = BOARD_FT2 * M2_PER_FT2 * coat.film_um * L_PER_M2_UM * OVER
    rows = []
    for need in coat.pigments or (None,):
        volume_l = whole_l * (need.share if need else 1.0)
        split = split_of(coat.product, volume_l)
        pigment_kg = need.mass_kg * volume_l / (coat.volume_l * need.share) if need else 0.0
        cells = (
            need.name if need else "No color",
            f"{need.share:.0%}" if need else "100%",
            millilitres(split.a_l),
            millilitres(split.b_l),
            grams(pigment_kg) if need else "–",
        )
        rows.append(Row(cells))
    passes = f", {coat.passes} passes, each" if coat.passes > 1 else ""
    return Table(
        f"{coat.name}: {mils(coat.film_um):.0f} mil wet{passes}",
        ("Color", "Share", "Part A", "Part B", "Pigment"),
        tuple(rows),
    )
