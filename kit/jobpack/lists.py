"""Tables of the pack: lanes in turn, what to order, logs to fill in."""

from __future__ import annotations

from kit.job.pouring import Pouring
from kit.job.working import Workup
from kit.jobpack.amounts import clock, gallons_of, grams, numbered, scale
from kit.jobpack.shown import Row, Table
from kit.plan.order import Lane, PourOrder
from kit.stock.records import Pack
from kit.units import feet_inches, mils, square_feet
from kit.work.mixing import MixingPlan

LEAST_GAUGE_SPOTS = 3
SAME_M2 = 0.05
"""Lanes that differ by less are the same to whoever lays them. [m²]"""


def lane_tables(pouring: Pouring) -> tuple[Table, ...]:
    """Lanes of the flood coat, a table a zone, each with its dry way out.

    A coat that has lanes of its own, for it is laid at another pace, has its own table.
    """
    plans = [pouring.flood]
    plans += [plan for plan in pouring.mixings if not has_lanes_of(plan, pouring.flood)]
    return tuple(
        _day_of(plan, day, many=plan.order.days > 1)
        for plan in plans
        for day in range(1, plan.order.days + 1)
    )


def has_lanes_of(plan: MixingPlan, other: MixingPlan) -> bool:
    """Whether two coats are laid in the same lanes in the same order."""
    pairs = zip(plan.order.lanes, other.order.lanes, strict=False)
    return len(plan.order.lanes) == len(other.order.lanes) and all(
        one.room == two.room and abs(one.area_m2 - two.area_m2) < SAME_M2
        for one, two in pairs
    )


def _day_of(plan: MixingPlan, day: int, *, many: bool) -> Table:
    order = plan.order
    rows = [
        Row(
            (
                str(lane.number),
                lane.room,
                f"{feet_inches(lane.length_m, nearest=1)} × "
                f"{feet_inches(lane.width_m, nearest=1)}",
                f"{square_feet(lane.area_m2):.0f}",
                clock(lane.from_min),
                clock(lane.to_min),
                _buckets(plan, lane),
                _leaving(lane),
            )
        )
        for lane in order.of_day(day)
    ]
    head = ("Lane", "Room", "Size", "sq ft", "Begin", "Close", "Buckets", "Step back onto")
    title = f"{plan.name}: lanes in turn" + (f", zone {day}" if many else "")
    return Table(title, head, tuple(rows), _tapes(order, day))


def _buckets(plan: MixingPlan, lane: Lane) -> str:
    return " ".join(sorted(b.name for b in plan.batches if lane.number in b.lanes))


def _leaving(lane: Lane) -> str:
    if lane.onto is not None:
        return f"lane {lane.onto}"
    return lane.way_out[0] if lane.way_out[0] != "out" else "out of the door"


def _tapes(order: PourOrder, day: int) -> str:
    """Where an edge cannot be met wet and so ends at tape."""
    told = []
    for edge in order.taped:
        if order.lanes[edge.first - 1].day != day:
            continue
        one, other = (order.lanes[number - 1] for number in (edge.first, edge.second))
        between = f"lanes {one.number} and {other.number}"
        if edge.in_doorway:
            told.append(f"doorway {one.room} – {other.room} ({between})")
        else:
            told.append(f"across {one.room}, between {between}")
    if not told:
        return "Every edge is met wet: no tape between lanes."
    words = "Tape a straight edge before you begin: " + "; ".join(dict.fromkeys(told)) + "."
    return words if len(words) <= 880 else f"{words[:860].rsplit(';', 1)[0]}; see the map."


def order_tables(answers: Workup) -> tuple[Table, ...]:
    """What to have on site: quantities alone."""
    system, work = answers.system, answers.work
    resin = [
        Row(
            (
                one.product.name,
                one.name,
                " + ".join(_packs(pack, n) for pack, n in one.order.packs),
                gallons_of(one.order.needed_l),
                gallons_of(max(one.order.spare_l, 0.0)),
            )
        )
        for one in system.purchases
    ]
    colour = [
        Row((need.name, coat.name, f"{scale(need.mass_kg)} · {grams(need.mass_kg)}"))
        for coat in system.coats
        for need in coat.pigments
    ]
    colour += [
        Row(("Hard grain", coat.name, scale(coat.aggregate.mass_kg)))
        for coat in system.coats
        if coat.aggregate
    ]
    tools = [Row((one.sundry.name, str(one.count))) for one in work.sundries]
    machines = [
        Row((one.equipment.name, f"{one.days} day{'s' if one.days != 1 else ''}"))
        for one in work.equipment
    ]
    return tuple(
        table
        for table in (
            Table("Resin, A and B together", ("Product", "For", "Kits", "Mixed", "Left"),
                  tuple(resin), "Left is what stays in the kits if all goes to plan."),
            Table("Pigment and grain", ("What", "For", "Weight"), tuple(colour)),
            Table("Tools and sundries", ("What", "Pieces"), tuple(tools)),
            Table("Machines", ("What", "On site"), tuple(machines)),
        )
        if table.rows
    )  # fmt: skip


def _packs(pack: Pack, count: int) -> str:
    return f"{count} × {gallons_of(pack.volume_l)}"


def film_log(pouring: Pouring) -> Table:
    """Wet film of every coat, read in its lanes."""
    rows = []
    for plan in pouring.mixings:
        lanes = [lane.number for lane in plan.order.lanes]
        every = max(len(lanes) // LEAST_GAUGE_SPOTS, 1)
        for number in lanes[::every][: LEAST_GAUGE_SPOTS + 1]:
            target = f"{mils(plan.coat.film_um):.0f} mil"
            rows.append(Row((plan.name, str(number), target, "", "", "")))
    head = ("Coat", "Lane", "Target", "Wall", "Middle", "Edge")
    note = "Wet film gauge, right after the lane is closed. Fill the mark with the trowel."
    return Table("Wet film", head, tuple(rows), note)


def lot_log(pouring: Pouring) -> Table:
    """Every bucket with room for its lots and times."""
    rows = [
        Row((batch.name, plan.name, numbered(batch.lanes), "", "", "", "", ""))
        for plan in pouring.mixings
        for batch in plan.batches
    ]
    head = ("Bucket", "Coat", "Lanes", "Lot A", "Lot B", "Mixed at", "Empty at", "By")
    return Table("Buckets and lots", head, tuple(rows))


def photo_list(pouring: Pouring, answers: Workup) -> tuple[str, ...]:
    """Pictures that are worth having when somebody asks a year later."""
    rooms = ", ".join(room.name for room in answers.plan.rooms)
    rooms = rooms if len(rooms) < 160 else f"{len(answers.plan.rooms)} rooms"
    return (
        f"Slab before work, each room: {rooms}",
        "Cracks, patches, stains, with a tape beside them",
        "Meter readings with place and date in the picture",
        "Ground slab, profile chip beside it",
        "Labels of every product with lot numbers",
        *(
            f"{plan.name}: finished, from the way out and along the light"
            for plan in pouring.mixings
        ),
        "Taped edges and doorways before and after",
        "Finished floor beside the sample board",
    )
