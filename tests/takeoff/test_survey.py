"""Stairs, joints, patches, removal and take-up: hand-worked, in the trail, in the price."""

from dataclasses import replace
from pathlib import Path

import pytest
from floors import FT, PALETTE, one_room, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box
from sheets import PLAIN, bent

from kit.coats import system_for
from kit.errors import SheetError, ShelfError
from kit.job import Job, job_from, workup
from kit.record import filled
from kit.site import Edge, Slab, Stairs, Step, tables
from kit.stock import read_shelf
from kit.takeoff import every, take_off
from kit.takeoff.profile import takeup_l, void_um
from kit.takeoff.slabwork import slab_work
from kit.takeoff.stepped import stepped_of
from kit.units import L_PER_GAL, M2_PER_FT2, M_PER_IN, UM_PER_MIL
from kit.work import work_for

ROOT = Path(__file__).parents[2]
IN = M_PER_IN
ROOM = one_room(box(0, 0, 20 * FT, 15 * FT))


def slab(**given_):
    return slab_work(filled(Slab, given_, where="slab"), ROOM)


def flight(**given_):
    plain = {"risers": 7, "width": "3 ft", "tread": "11 in", "riser": "7 in"}
    return filled(Stairs, {**plain, **given_}, where="stairs")


def test_a_flight_by_hand():
    """7 risers, 6 treads, 3 ft wide, 11 in deep, 7 in high, nosings of 1 in."""
    taken = stepped_of([flight(nosing="1 in")])

    assert taken.treads_m2 == pytest.approx(6 * 36 * 11 * IN**2)
    assert taken.uprights_m2 == pytest.approx((7 * 36 * 7 + 7 * 36 * 1) * IN**2)
    assert taken.nosings_m == pytest.approx(7 * 3 * FT)
    assert taken.steps == 7
    assert taken.edges_m == 0


def test_an_open_side_runs_up_every_riser_and_tread():
    one, two = (stepped_of([flight(open_sides=n)]).edges_m for n in (1, 2))

    assert one == pytest.approx((6 * 11 + 7 * 7) * IN)
    assert two == pytest.approx(2 * one)


def test_risers_that_stay_bare_are_not_coated():
    taken = stepped_of([flight(coat_risers=False, nosing="1 in")])

    assert taken.uprights_m2 == 0
    assert taken.steps == 6


def test_a_step_is_a_face_and_an_edge_and_a_free_edge_is_only_one():
    taken = stepped_of(
        (),
        [Step(where="Dais", length="10 ft", height="6 in")],
        [Edge(where="Garage door", length="16 ft")],
    )

    assert taken.uprights_m2 == pytest.approx(10 * 0.5 * FT**2)
    assert taken.nosings_m == pytest.approx(10 * FT)
    assert taken.edges_m == pytest.approx(16 * FT)


JOINTS = [
    {"where": "middle", "length": "40 ft", "treat": "filled"},
    {"kind": "construction", "length": "15 ft", "treat": "filled", "width": "1/4 in"},
    {"kind": "expansion", "length": "20 ft", "treat": "honored"},
]


def test_joints_by_hand():
    """480 × ⅛ × 1 and 180 × ¼ × 1 in are 60 and 45 in³, 105 over 231 in³ a gallon."""
    taken = slab(joint=JOINTS)

    assert taken.joints_filled_m == pytest.approx(55 * FT)
    assert taken.joints_honored_m == pytest.approx(20 * FT)
    assert taken.filler_l / L_PER_GAL == pytest.approx(105 / 231)
    assert taken.concerns == ()


def test_an_expansion_joint_that_is_coated_over_is_a_concern():
    taken = slab(joint=[{**JOINTS[2], "treat": "filled", "where": "by the wall"}])

    assert "by the wall" in taken.concerns[0].says


def test_patches_by_hand():
    """Three of 2 × 3 ft and one of 5 sq ft, ½ and 1 in deep: 23 sq ft, 14/12 ft³."""
    taken = slab(
        patch=[
            {"size": ["2 ft", "3 ft"], "depth": "1/2 in", "count": 3},
            {"area": "5 sq ft", "depth": "1 in"},
        ]
    )

    assert taken.patches_m2 / M2_PER_FT2 == pytest.approx(23)
    assert taken.patches_l == pytest.approx((18 * 0.5 + 5) / 12 * FT**3 * 1000)


def test_what_comes_off_is_kept_apart_by_its_kind():
    taken = slab(
        removal=[
            {"kind": "coating", "rooms": ["Room"]},
            {"kind": "adhesive", "area": "40 sq ft", "says": "black mastic"},
            {"kind": "adhesive", "area": "2 m²"},
        ]
    )

    assert taken.removal_m2["coating"] == pytest.approx(300 * M2_PER_FT2)
    assert taken.removal_m2["adhesive"] == pytest.approx(40 * M2_PER_FT2 + 2)
    assert taken.removal_m2["covering"] == 0


def test_a_slab_that_paint_comes_off_is_painted():
    given_ = {"removal": [{"kind": "coating", "area": "9 sq ft"}]}

    assert filled(Slab, given_).painted
    assert not filled(Slab, given_).old_flooring
    with pytest.raises(SheetError, match=r"slab, painted: found false; expected true"):
        filled(Slab, {**given_, "painted": False})


def test_take_up_is_area_times_the_depth_of_the_hollows():
    """480 ft² at 8 mil is 480 × 8 / 1604.1667 gal, from a gallon of 231 in³."""
    taken = takeup_l(480 * M2_PER_FT2, 8 * UM_PER_MIL)

    assert taken / L_PER_GAL == pytest.approx(480 * 8 / (231 / 0.144), rel=1e-12)


def test_a_depth_that_was_measured_is_taken_before_a_common_one():
    rough = take_off(ROOM, slab=slab(void_depth="0.010 in"))

    assert rough.takeup_l / L_PER_GAL == pytest.approx(300 * 10 / (231 / 0.144))


def test_a_rougher_chip_never_takes_less():
    depths = [void_um(chip) for chip in range(1, 11)]

    assert depths == sorted(depths)


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        ({"joint": [{"length": "9 ft", "treat": "bridged"}]}, r"joint 1, treat.*filled"),
        ({"joint": [{"length": "9", "treat": "filled"}]}, r"joint 1, length: found 9;"),
        ({"joint": [{"length": "0 ft", "treat": "filled"}]}, r"joint 1, length: found 0"),
        (
            {"joint": [{"length": "9 ft", "treat": "filled", "width": "2 ft"}]},
            r"joint 1, width: found 2 ft",
        ),
        ({"patch": [{"depth": "1 in"}]}, r"patch 1: .*either size"),
        ({"patch": [{"area": "6", "depth": "1 in"}]}, r"patch 1, area: found 6; .*sq ft"),
        ({"patch": [{"area": "6 sq ft", "depth": "4 ft"}]}, r"patch 1, depth: found 4 ft"),
        ({"patch": [{"area": "6 sq ft", "depth": "1 in", "count": 0}]}, r"count: found 0"),
        ({"removal": [{"kind": "dust", "area": "6 sq ft"}]}, r"removal 1, kind"),
        ({"removal": [{"kind": "coating"}]}, r"removal 1: .*either area"),
        (
            {"removal": [{"kind": "coating", "rooms": ["Attic"]}]},
            r"found Attic.*one of Room",
        ),
        ({"removal": 3}, r"removal"),
        ({"profile_csp": 11}, r"profile_csp: found 11; expected at most 10"),
        ({"profile_csp": 3, "void_depth": "1 mm"}, r"only one of the two"),
        ({"void_depth": "2 in"}, r"void_depth: found 2 in"),
    ],
)
def test_a_survey_that_cannot_be_is_refused_in_one_line(given_, says):
    with pytest.raises(SheetError, match=says) as refused:
        slab(**given_)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        ({"risers": 0}, r"risers: found 0; expected at least 1"),
        ({"width": "1 in"}, r'stairs "Stairs", width: found 1 in'),
        ({"tread": "9 ft 11 in"}, r"tread: found 9 ft 11 in"),
        ({"riser": "2 ft"}, r"riser: found 2 ft"),
        ({"nosing": "6 in"}, r"nosing: found 6 in; expected less than half the tread"),
        ({"open_sides": 3}, r"open_sides"),
    ],
)
def test_stairs_that_nobody_could_walk_are_refused(given_, says):
    with pytest.raises(SheetError, match=says):
        stepped_of([flight(**given_)])


# What each piece of a survey reaches in the price, by task, sundry or product.
PIECES = [
    ('[[slab.joint]]\nlength = "40 ft"\ntreat = "filled"', "joint_filler", "fill_joints"),
    ('[[slab.joint]]\nlength = "40 ft"\ntreat = "honored"', "", "honor_joints"),
    ('[[slab.patch]]\narea = "9 sq ft"\ndepth = "1 in"', "patch_mortar", "patch"),
    ('[[slab.removal]]\nkind = "coating"\narea = "90 sq ft"', "", "remove_coating"),
    ('[[slab.removal]]\nkind = "adhesive"\nrooms = ["Den"]', "", "remove_adhesive"),
    ('[[slab.removal]]\nkind = "covering"\nrooms = ["Den"]', "", "take_up_flooring"),
    (
        '[[stairs]]\nrisers = 5\nwidth = "3 ft"\ntread = "11 in"\nriser = "7 in"',
        "",
        "lay_stairs",
    ),
    ('[[step]]\nwhere = "Dais"\nlength = "9 ft"\nheight = "6 in"', "", "dress_nosings"),
    ('[[edge]]\nwhere = "Door"\nlength = "9 ft"', "", "finish_edges"),
]


def priced(text):
    return workup(job_from(tables(PLAIN + text)))


@pytest.mark.parametrize(("text", "product", "task"), PIECES)
def test_every_piece_of_a_survey_reaches_the_price(text, product, task):
    plain, more = workup(job_from(bent())), priced(text)

    assert more.bid.total > plain.bid.total
    assert task in {one.key for one in more.work.tasks}
    assert task not in {one.key for one in plain.work.tasks}
    if product:
        assert more.system.purchase(product).order.cost > 0


def added_l(plain, rough):
    coats = zip(plain.coats, rough.coats, strict=True)
    return [after.volume_l - before.volume_l for before, after in coats]


def test_a_rough_slab_takes_more_of_the_lowest_coat_and_of_no_other():
    plain, rough = workup(job_from(bent())), priced("[slab]\nprofile_csp = 5")

    added = added_l(plain.system, rough.system)
    hollows_l = takeup_l(plain.takeoff.net_m2, void_um(5))
    assert added == pytest.approx([1.08 * hollows_l, 0, 0])
    tint = rough.system.coat("seal").pigments[0].mass_kg
    assert tint > plain.system.coat("seal").pigments[0].mass_kg


def test_under_a_primer_it_is_the_primer_that_fills_the_hollows():
    shelf = read_shelf()
    primer = next(extra for extra in shelf.extras if extra.key == "moisture_primer")
    floor = rectangle(6.0, 5.0)
    args = PALETTE, shelf.finish("matte"), shelf, (primer,)
    plain, rough = (
        system_for(replace(floor, takeup_l=more_l), *args) for more_l in (0.0, 4.0)
    )

    assert added_l(plain, rough) == pytest.approx([1.08 * 4.0, 0, 0, 0])


def test_a_thick_film_lies_on_treads_and_sags_on_risers():
    stepped = stepped_of([flight()])
    floor = take_off(ROOM, stepped=stepped)
    system = system_for(floor, PALETTE, read_shelf().finish("matte"), read_shelf())

    flood, seal = system.coat("flood"), system.coat("seal")
    assert seal.stepped_m2 == pytest.approx(stepped.coated_m2)
    assert flood.stepped_m2 == pytest.approx(stepped.treads_m2 + 0.3 * stepped.uprights_m2)
    assert flood.volume_l == pytest.approx((floor.net_m2 + flood.stepped_m2) * 0.889 * 1.08)


def test_a_filler_that_is_not_on_the_shelf_is_named():
    shelf = read_shelf()
    bare = replace(shelf, house=shelf.house.changed(joint_product="putty"))
    floor = take_off(ROOM, slab=slab(joint=JOINTS))

    with pytest.raises(ShelfError, match=r"house, joint_product: found putty"):
        system_for(floor, PALETTE, bare.finish("matte"), bare)


LENGTHS = st.floats(0.5, 40.0).map(lambda m: f"{m:.2f} m")


@settings(max_examples=25)
@given(st.lists(LENGTHS, min_size=1, max_size=5), LENGTHS)
def test_one_joint_more_never_takes_less(lengths, another):
    def taken(given_):
        return slab(joint=[{"length": m, "treat": "filled"} for m in given_])

    before, after = taken(lengths), taken([*lengths, another])
    assert after.joints_filled_m > before.joints_filled_m
    assert after.filler_l > before.filler_l
    assert taken(lengths[::-1]).filler_l == pytest.approx(before.filler_l)


@settings(max_examples=25)
@given(st.integers(1, 30), st.floats(0.6, 3.0), st.floats(0.2, 0.5), st.floats(0.1, 0.3))
def test_stairs_in_metres_and_in_inches_are_the_same_stairs(risers, width, tread, riser):
    def told(unit, each):
        sizes = {"width": width, "tread": tread, "riser": riser}
        words = {name: f"{size / each:.9f} {unit}" for name, size in sizes.items()}
        return stepped_of([flight(risers=risers, **words)])

    metric, inches = told("m", 1.0), told("in", IN)
    assert metric.coated_m2 == pytest.approx(inches.coated_m2, rel=1e-6)
    assert metric.nosings_m == pytest.approx(inches.nosings_m, rel=1e-6)


def test_every_figure_of_a_survey_is_the_sum_of_its_parts():
    text = "\n".join(piece for piece, *_ in PIECES)
    takeoff = priced(f"{text}\n[[slab.patch]]\nsize = ['1 ft', '1 ft']\ndepth = '1 in'")

    totals = [f for f in every(takeoff.takeoff.trail) if "+" in f.how and f.parts]
    named = {figure.name for figure in every(takeoff.takeoff.trail)}
    assert {"Joints to fill", "Patches", "Adhesive to remove", "Treads"} <= named
    for figure in totals:
        if figure.name in {"Net area", "Patches", "Patch mortar", "Risers and faces"}:
            assert figure.value == pytest.approx(sum(p.value for p in figure.parts))


def test_work_on_stairs_is_counted_by_the_step():
    work = work_for(
        floor := take_off(ROOM, stepped=stepped_of([flight()])),
        system_for(floor, PALETTE, read_shelf().finish("matte"), read_shelf()),
        read_shelf(),
    )

    stairs = next(task for task in work.tasks if task.key == "lay_stairs")
    assert stairs.how == "7 steps at 6 a person-hour"
    assert stairs.labor_h == pytest.approx(7 / 6)


def test_a_sheet_takes_all_of_it_and_keeps_it():
    job = job_from(tables(PLAIN + "\n".join(piece for piece, *_ in PIECES)))

    assert Job.model_validate_json(job.model_dump_json()) == job


def test_the_sheet_that_shows_it_all_is_priced():
    answers = workup(Job.from_sheet(ROOT / "demo_assets" / "chart_house.toml"))

    done = {task.key for task in answers.work.tasks}
    assert {"remove_coating", "patch", "lay_stairs", "honor_joints", "finish_edges"} <= done
    assert answers.takeoff.takeup_l > 0
    assert answers.bid.total == sum(line.amount for line in answers.bid.lines)
