"""The crew's work that is timed: days and pour order of forty rooms."""

from __future__ import annotations

from datetime import UTC, date, time
from functools import cached_property

import shapely

from kit.measure.timing import Work
from kit.plan import FloorPlan, PlannedRoom, Threshold, WayOut
from kit.plan.lanes import PourOrder
from kit.plan.order import pour_order
from kit.plan.pace import Pace
from kit.site import Crew
from kit.stock import read_shelf
from kit.work.asking import Floor, Terms
from kit.work.dayplan import Layer
from kit.work.expected import steady
from kit.work.laying_out import lay_out_days

ROOMS = (8, 5)
SIDES_M = (4.0, 3.5)
DOOR_M = 1.0
PERSON_HOURS_M2 = {
    "seal_epoxy": 1 / 27,
    "flood_epoxy": 1 / 13,
    "wear_urethane_matte": 1 / 14,
}
"""Labor of each film. [h/m²]"""


class FortyRooms:
    """Forty rooms of 4 by 3.5 m, joined east to west and along the southern row.

    What is timed is the days of a crew of four and the order of the lanes, with nothing
    kept between calls; the peer is one sweep over the graph of those lanes.
    """

    @cached_property
    def plan(self) -> FloorPlan:
        """Rooms and doorways, the way out in the south-west."""
        wide, deep = SIDES_M
        across, up = ROOMS
        rooms, doors = [], []
        for row in range(up):
            for column in range(across):
                x, y = column * wide, row * deep
                shape = shapely.box(x, y, x + wide, y + deep)
                rooms.append(PlannedRoom(_name(column, row), shape, shape))
                if column:
                    line = _line(x, y + deep / 2, DOOR_M, upright=True)
                    doors.append(_door(_name(column - 1, row), _name(column, row), line))
                if row and not column:
                    line = _line(x + wide / 2, y, DOOR_M, upright=False)
                    doors.append(_door(_name(0, row - 1), _name(0, row), line))
        way_out = WayOut(_name(0, 0), _line(wide / 2, 0.0, DOOR_M, upright=False), DOOR_M)
        whole = shapely.box(0.0, 0.0, across * wide, up * deep)
        return FloorPlan(tuple(rooms), tuple(doors), way_out, whole)

    @cached_property
    def pace(self) -> Pace:
        """Four people, two of them at the buckets."""
        return Pace(people=4, rate_m2_h=17.0, edge_min=60.0, lane_min=40.0)

    def days(self) -> object:
        """Lay the three films out over days."""
        shelf = read_shelf()
        area_m2 = self.plan.surface.area
        layers = tuple(
            Layer(key, key, key, area_m2 * each) for key, each in PERSON_HOURS_M2.items()
        )
        products = [shelf.product(layer.product) for layer in layers]
        floor = Floor(
            plan=self.plan,
            area_m2=area_m2,
            layers=layers,
            products=tuple((product, shelf.cure(product)) for product in products),
            prepare_h=60.0,
            set_up_h=1.25,
        )
        terms = Terms(
            people=4,
            start=time(7, 30),
            until=time(17),
            crew=Crew(),
            begin=date(2026, 12, 1),
            zone=UTC,
            expected=steady(20.0),
        )
        return lay_out_days(floor, terms)

    def order(self) -> PourOrder:
        """Order the lanes of all rooms."""
        return pour_order(self.plan, self.pace)

    def planned(self) -> Work:
        """Days and order."""
        _ = self.plan
        return lambda: (self.days(), self.order())

    def swept(self) -> Work:
        """Shortest paths from the last lane of that order to all others, by networkx."""
        import networkx  # type: ignore[import-untyped,unused-ignore]

        graph = networkx.Graph()
        order = self.order()
        middles = {lane.number: lane.shape.centroid for lane in order.lanes}
        for edge in order.edges:
            far_m = middles[edge.first].distance(middles[edge.second])
            graph.add_edge(edge.first, edge.second, weight=far_m)
        sweep = networkx.single_source_dijkstra_path_length
        last = order.lanes[-1].number
        return lambda: sweep(graph, last)


def _name(column: int, row: int) -> str:
    return f"Room {column + 1}-{row + 1}"


def _line(x: float, y: float, long_m: float, *, upright: bool) -> shapely.LineString:
    dx, dy = (0.0, long_m / 2) if upright else (long_m / 2, 0.0)
    return shapely.LineString([(x - dx, y - dy), (x + dx, y + dy)])


def _door(first: str, second: str, line: shapely.LineString) -> Threshold:
    return Threshold((first, second), (line, line), None, DOOR_M)
