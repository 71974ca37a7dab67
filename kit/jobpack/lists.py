"""Tables of the pack: lanes in turn, what to order, logs to fill in."""

from __future__ import annotations

from kit.job.clocked import same_lanes
from kit.job.pouring import Pouring
from kit.job.working import Workup
from kit.jobpack.amounts import NBSP, clock, gallons_of, grams, jug_oz, numbered, scale
from kit.jobpack.shown import Row, Table
from kit.plan.lanes import Lane
from kit.stock.records import Pack
from kit.units import feet_inches, mils, square_feet
from kit.work.mixing import MixingPlan
from kit.work.records import SundryNeed

LEAST_GAUGE_SPOTS = 3
CARRIED = (
    "A patch too small to mix is counted with the lane beside: carry it over the edge."
)
WHOLE_JARS = "What the cards take together. The sample board comes on top: buy whole jars."
BUCKETS_AGAIN = (
    "Fewer buckets than cards: an emptied one is wiped out and serves the same color again."
)
BRING = (
    ("Scales to 1 g and to 0.1 g, clean jugs, a timer that all can see", "mixing"),
    ("Flat trowel, 2-inch brush, small roller for edges", "laying"),
    ("9-inch frame with 1/4-inch nap covers, pole", "wear coat"),
    ("Torch, spiked shoes", "flood coat"),
    ("Wet film gauge, raking light", "every coat"),
    ("Thermometer for air and slab, hygrometer", "every 4 hours"),
    ("Profile chips, wide-range pH paper, distilled water, pull-off dollies", "site gate"),
)
"""Tools of the trade that are not used up. Common practice, no source."""


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
    return same_lanes(plan.order.lanes, other.order.lanes)


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
    head = (
        "Lane",
        "Room",
        "Size",
        "sq ft",
        "Begin",
        "Close",
        "Fl oz of bucket",
        "Back onto",
    )
    title = f"{plan.name}: lanes in turn" + (f", zone {day}" if many else "")
    note = _tapes(plan, day)
    if len(plan.colours) > 1:
        note = f"{note} {CARRIED}"
    return Table(title, head, tuple(rows), note)


def _buckets(plan: MixingPlan, lane: Lane) -> str:
    """How much of which bucket goes into a lane."""
    found = [
        f"{batch.name}:{NBSP}{jug_oz(batch.into_l[batch.lanes.index(lane.number)])}"
        for batch in plan.batches
        if lane.number in batch.lanes
    ]
    return ", ".join(sorted(found))


def _leaving(lane: Lane) -> str:
    if lane.onto is not None:
        return f"lane {lane.onto}"
    return lane.way_out[0] if lane.way_out[0] != "out" else "out of the door"


def _tapes(plan: MixingPlan, day: int) -> str:
    """Where an edge cannot be met wet and so ends at tape, and when that is pulled."""
    order, told = plan.order, []
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
    if len(words) > 620:
        words = f"{words[:600].rsplit(';', 1)[0]}; see the map."
    return (
        f"{words} Lay up to the tape of the lower number and pull it while that film is "
        f"wet, within {plan.working_min:.0f} min of its close; pour the higher number up "
        "to the edge that stands."
    )


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
    tools = [Row((one.sundry.name, _pieces(one))) for one in work.sundries]
    machines = [
        Row((one.equipment.name, f"{one.days} day{'s' if one.days != 1 else ''}"))
        for one in work.equipment
    ]
    return tuple(
        table
        for table in (
            Table("Resin, A and B together", ("Product", "For", "Kits", "Mixed", "Left"),
                  tuple(resin), "Left is what stays in the kits if all goes to plan."),
            Table("Pigment and grain", ("What", "For", "Weight"), tuple(colour),
                  WHOLE_JARS),
            Table("Used up", ("What", "How many"), tuple(tools), BUCKETS_AGAIN),
            Table("Machines", ("What", "On site"), tuple(machines)),
            Table("Bring as well", ("What", "For"), tuple(Row(one) for one in BRING)),
        )
        if table.rows
    )  # fmt: skip


def _pieces(one: SundryNeed) -> str:
    """How many, or the floor that it must last for where it wears by area."""
    if one.sundry.unit == "m²":
        return f"for {square_feet(one.count):,.0f} sq ft"
    return str(one.count)


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
