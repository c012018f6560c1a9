"""Faults planted in the record of a lay on a remnant, a hide and a roll with flaws."""

import copy
import json
from dataclasses import replace

import lays_on_pieces
import pytest
import shapely
import worked_lays
from hypothesis import given, settings
from hypothesis import strategies as st
from lays_on_pieces import CLOTH, HIDE, PANELS, REMNANT, ring, spot, star_hide

from nesting.cloth.cloth import Nap
from nesting.cloth.stock import ClothPiece
from nesting.errors import OrderError
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.measures import usable_area2
from nesting.layouts.storage import as_record, to_json
from nesting.tolerances import DEPTH_MM
from nesting.units import CM, GRID_PER_MM
from nesting.verification.against_order import Ordered, check_against_order
from nesting.verification.checker import check_record
from nesting.verification.cloth_piece import piece_of

LAYS = lays_on_pieces.lays()
SOUND = as_record(worked_lays.order_lay(*LAYS))


@pytest.fixture
def record():
    return copy.deepcopy(SOUND)


def the(record, name):
    """The placement that findings call by this name."""
    return next(
        place
        for place in record["cloths"][0]["placements"]
        if f"{place['panel']} {place['copy']}" == name
    )


def piece(record, name):
    return next(each for each in record["cloths"][0]["pieces"] if each["name"] == name)


def push(place, dx, dy):
    place["x_mm"], place["y_mm"] = round(place["x_mm"] + dx, 2), round(place["y_mm"] + dy, 2)
    place["outline_mm"] = [[round(x + dx, 2), round(y + dy, 2)] for x, y in place["outline_mm"]]


def places(record):
    """Findings about places and shades: their numbers, and where they are."""
    return [(one.number, one.where) for one in check_record(record) if 300 <= one.number < 500]


def figures(record):
    return [(one.number, one.where) for one in check_record(record)]


def faults_of(record):
    with pytest.raises(OrderError) as caught:
        check_record(record)
    return [(fault.place, fault.rule) for fault in caught.value.faults]


def test_a_sound_lay_on_pieces_has_no_findings():
    assert check_record(SOUND) == ()
    assert check_record(json.loads(to_json(SOUND))) == ()


def test_a_record_of_version_1_is_read_as_a_lay_on_one_roll():
    record = as_record(worked_lays.order_lay())
    record["schema"] = "clothwright/layout/1"
    (cloth,) = record["cloths"]
    del cloth["pieces"]
    for place in cloth["placements"]:
        del place["piece"]
    assert check_record(record) == ()
    push(cloth["placements"][0], 0, -1)
    assert [one.number for one in check_record(record)] == [301]
    cloth["cost"] += 1
    assert 509 in {one.number for one in check_record(record)}


@pytest.mark.parametrize("key", ["pieces", "hidden"])
def test_a_record_of_version_1_has_no_keys_of_version_2(key):
    record = as_record(worked_lays.order_lay())
    record["schema"] = "clothwright/layout/1"
    (cloth,) = record["cloths"]
    for place in cloth["placements"]:
        del place["piece"]
    if key == "hidden":
        del cloth["pieces"]
        cloth["panels"][0]["hidden"] = True
    place = "cloths[0]." if key == "pieces" else "cloths[0].panels[0]."
    assert faults_of(record) == [(f"{place}'{key}'", "is not a key of this version")]


# Where panels lie

REMNANT_PLATE = "teal twill, remnant: stool / plate / 1.1"
REMNANT_STRAP = "teal twill, remnant: strap / strap / 1.1"
HIDE_BASE = "teal twill, hide: stool / base / 1.1"
ROLL_BASE = "teal twill, roll: stool / base / 2.1"
ROLL_PLATE = "teal twill, roll: stool / plate / 2.1"


@pytest.mark.parametrize(
    ("name", "shift", "wanted"),
    [
        ("strap 1", (320.1, 0), (305, REMNANT_STRAP)),  # 660 + 320.1 > 1000 - 20
        ("plate 1", (-0.1, 0), (302, REMNANT_PLATE)),
        ("plate 1", (0, -0.1), (301, REMNANT_PLATE)),
        ("plate 1", (0, 220.1), (306, REMNANT_PLATE)),  # 315 + 220.1 > 550 - 15
        ("strap 1", (-10.1, 350), (310, REMNANT_STRAP)),
        ("plate 1", (30.1, 0), (310, REMNANT_PLATE)),
        ("strap 1", (40.1, 150), (309, REMNANT_STRAP)),
        ("base 1", (-50.1, 0), (307, HIDE_BASE)),
        ("base 1", (-50, 200), (307, HIDE_BASE)),  # over the cut-off corner only
        ("base 1", (150.1, 30), (308, HIDE_BASE)),
        ("base 1", (200, 100), (308, HIDE_BASE)),  # the whole hole lies in it
        ("plate 2", (0, 750), (309, ROLL_PLATE)),
    ],
)
def test_a_panel_on_unsound_cloth_is_found(record, name, shift, wanted):
    push(the(record, name), *shift)
    assert places(record) == [wanted]


def test_hidden_panels_may_have_minor_flaws_and_others_not(record):
    base = next(panel for panel in record["cloths"][0]["panels"] if panel["panel"] == "base")
    base["hidden"] = False
    (finding,) = check_record(record)
    assert (finding.number, finding.where) == (309, ROLL_BASE)
    assert "the minor flaw (slub) at (500.00, 50.00) mm" in finding.detail
    base["hidden"] = True
    piece(record, "roll")["flaws"][0]["minor"] = False
    assert 309 in {one.number for one in check_record(record)}


def test_a_panel_may_touch_edges_flaws_and_splices(record):
    push(the(record, "plate 1"), 30, 220)  # up to the splice and the narrower width
    push(the(record, "base 1"), 150, 0)  # to the hole
    push(the(record, "strap 1"), 40, 150)  # to the flaw
    assert places(record) == []


def test_no_gap_is_kept_to_flaws_nor_to_panels_of_other_pieces(record):
    """The plates of two pieces lie at equal places; the gap counts on one piece alone."""
    assert the(record, "plate 1")["x_mm"] == the(record, "plate 2")["x_mm"]
    push(the(record, "base 2"), -0.1, 0)
    assert places(record) == [(304, "teal twill, roll: stool / plate / 2.1 and stool / base / 2.1")]


def test_a_lay_on_a_piece_may_leave_cloth_blank_before_it(record):
    assert the(record, "base 1")["x_mm"] == 50.0
    push(the(record, "plate 1"), 5, 0)
    assert check_record(record) == ()


def test_a_shade_that_differs_within_one_copy_is_found(record):
    piece(record, "hide")["shade"] = "B"
    assert places(record) == [(311, "teal twill: stool / base / 1.1")]


def test_cloth_without_a_shade_is_of_another_than_any_with_one(record):
    del piece(record, "hide")["shade"]
    (finding,) = check_record(record)
    assert finding.number == 311
    assert finding.detail == 'no shade on hide, others of the same copy shade "A"'


def test_panels_that_may_differ_in_shade_are_not_bound_to_it(record):
    for panel in record["cloths"][0]["panels"]:
        panel["one_shade"] = False
    piece(record, "hide")["shade"] = "B"
    assert check_record(record) == ()


def test_the_parts_of_an_item_point_one_way_over_all_pieces(record):
    record["cloths"][0]["nap"] = Nap.UP_AND_DOWN
    assert check_record(record) == ()
    the(record, "base 1")["turn_deg"] = 180  # a square, so its outline stays as it is
    assert figures(record) == [(402, "teal twill: stool / base / 1.1")]


# Which panels


def test_a_panel_that_lies_on_no_piece_or_on_two_is_found(record):
    placements = record["cloths"][0]["placements"]
    again = {**copy.deepcopy(the(record, "strap 1")), "piece": "roll"}
    push(again, 300, 300)
    placements.append(again)
    assert (102, "teal twill: strap / strap / 1.1") in figures(record)
    placements[:] = [place for place in placements if place["panel"] != "strap"]
    assert (101, "teal twill: strap / strap / 1.1") in figures(record)


def test_a_piece_that_nothing_lies_on_is_found(record):
    spare = {"name": "offcut", "width_mm": 500.0, "length_mm": 300.0, "selvedge_mm": 0.0}
    record["cloths"][0]["pieces"].append({**spare, "used_length_mm": 0.0, "price": 0, "cost": 0})
    assert figures(record) == [(105, "teal twill, offcut")]


# Figures


@pytest.mark.parametrize(
    ("name", "key", "value", "number"),
    [
        ("remnant", "used_length_mm", 640.01, 502),
        ("hide", "used_length_mm", 200.0, 502),
        ("roll", "buy_length_mm", 650.0, 503),
        ("roll", "width_mm", 1390.0, 511),
        ("roll", "selvedge_mm", 14.0, 511),
        ("hide", "cost", 11.11, 510),
        ("hide", "cost", None, 510),
        ("remnant", "cost", 4.01, 510),
        ("remnant", "price", 5.0, 510),
    ],
)
def test_a_wrong_figure_of_a_piece_is_found(record, name, key, value, number):
    piece(record, name)[key] = value
    assert (number, f"teal twill, {name}: {'cost' if number == 510 else key}") in figures(record)


@pytest.mark.parametrize(
    ("key", "value", "number"),
    [
        ("used_length_mm", 1493.01, 502),
        ("buy_length_mm", 0.0, 503),
        ("cost", 28.06, 509),
        ("cost", None, 509),
        ("price_per_metre", None, 509),
        ("panel_area_mm2", 340_001.0, 504),
        ("efficiency", 0.266, 505),
        ("gap_to_bound", 0.065, 507),
    ],
)
def test_a_wrong_sum_is_found(record, key, value, number):
    record["cloths"][0][key] = value
    name = "cost" if number == 509 else key
    assert figures(record) == [(number, f"teal twill: {name}")]


def test_the_length_in_use_of_a_roll_with_flaws_begins_at_its_end_allowance(record):
    """The roll is laid from 9.5 cm on: 67.8 cm are used, and 71.8 cm bought by 80 cm."""
    for name in ("plate 2", "base 2"):
        push(the(record, name), 75, 0)
    assert (502, "teal twill, roll: used_length_mm") in figures(record)
    assert (503, "teal twill, roll: buy_length_mm") in figures(record)
    assert places(record) == []


# What a file may say of pieces

CROSSED = [[0, 0], [600, 500], [600, 0], [0, 500]]


@pytest.mark.parametrize(
    ("name", "key", "value", "rule"),
    [
        ("hide", "outline_mm", CROSSED, "must enclose an area and not cross or touch itself"),
        ("hide", "outline_mm", [[0, 0], [600, 500]], "must be a list of at least 3 points [x, y]"),
        (
            "hide",
            "outline_mm",
            [[0, 0], [600, 0], [600, 400]],
            "must begin at (0, 0) and be as long and wide as its piece",
        ),
        ("hide", "holes_mm", 3, "must be a list [ ]"),
        (
            "hide",
            "holes_mm",
            [CROSSED],
            "outline 0 must enclose an area and not cross or touch itself",
        ),
        (
            "remnant",
            "holes_mm",
            [[[0, 0], [9, 0], [9, 9]]],
            "applies only to a piece with an outline",
        ),
        ("remnant", "widths_mm", [[500, 600], [0, 550]], "must go up along the cloth"),
        ("remnant", "widths_mm", [[500, 0]], "entry 0 must be more than 0"),
        ("remnant", "widths_mm", [[500]], "entry 0 must be two numbers [x, width]"),
        ("remnant", "widths_mm", [], "must be a list of at least one place and width [x, width]"),
        ("remnant", "splices_mm", [450, 450], "must go up along the cloth"),
        ("remnant", "splices_mm", ["450"], "each must be a number"),
        ("remnant", "splices_mm", 450, "must be a list of numbers"),
        ("remnant", "selvedge_mm", 300, "must leave usable cloth between them"),
        ("remnant", "buy_length_mm", 700, "applies only to the roll that is bought"),
        (
            "remnant",
            "length_mm",
            None,
            'must be null for the piece named "roll", which is bought, and for no other',
        ),
        (
            "roll",
            "length_mm",
            700,
            'must be null for the piece named "roll", which is bought, and for no other',
        ),
        ("roll", "buy_length_mm", None, "is missing"),
    ],
)  # fmt: skip
def test_a_malformed_piece_is_a_fault_of_the_file(record, name, key, value, rule):
    index = [each["name"] for each in record["cloths"][0]["pieces"]].index(name)
    piece(record, name)[key] = value
    assert (f"cloths[0].pieces[{index}].{key}", rule) in faults_of(record)


def test_a_hole_outside_its_outline_is_a_fault_of_the_file(record):
    piece(record, "hide")["holes_mm"] += [[[570, 0], [600, 0], [600, 30]]]
    assert faults_of(record) == [
        ("cloths[0].pieces[1].holes_mm[1]", "must lie inside the outline")
    ]  # fmt: skip


def test_a_malformed_flaw_is_a_fault_of_the_file(record):
    flaw = piece(record, "remnant")["flaws"][0]
    flaw["outline_mm"], flaw["minor"] = CROSSED, "no"
    place = "cloths[0].pieces[0].flaws[0]"
    assert faults_of(record) == [
        (f"{place}.outline_mm", "must enclose an area and not cross or touch itself"),
        (f"{place}.minor", "must be true or false"),
    ]


def test_pieces_must_have_names_of_their_own_and_placements_name_one(record):
    (cloth,) = record["cloths"]
    cloth["pieces"][1]["name"] = "remnant"
    assert faults_of(record) == [
        ("cloths[0].pieces", "must not give two pieces the same name"),
        ("cloths[0].placements[2].piece", "must be the name of a piece of its cloth"),
    ]
    del cloth["placements"][0]["piece"]
    assert faults_of(record) == [("cloths[0].placements[0].piece", "is missing")]
    cloth["placements"][0]["piece"] = "remnant"
    cloth["pieces"] = []
    assert ("cloths[0].pieces", "must have at least one piece") in faults_of(record)


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=6,
)


def paths_in(value, path=()):
    """Path of every value inside a list or object."""
    entries = value.items() if isinstance(value, dict) else enumerate(value)
    for key, entry in entries:
        yield (*path, key)
        if isinstance(entry, dict | list):
            yield from paths_in(entry, (*path, key))


@given(st.sampled_from([*paths_in(SOUND["cloths"][0]["pieces"])]), JUNK)
@settings(deadline=None, max_examples=300)
def test_junk_in_a_piece_is_told_by_no_traceback(path, junk):
    """A value may do no harm, as a wider flaw off every panel; anything else is told."""
    record = copy.deepcopy(SOUND)
    changed = record["cloths"][0]["pieces"]
    for key in path[:-1]:
        changed = changed[key]
    changed[path[-1]] = junk
    try:
        told = [one.where for one in check_record(record)]
    except OrderError as error:
        told = [fault.place for fault in error.faults]
    assert all(told)
    if path[-1] in ("used_length_mm", "cost") and junk != at(SOUND, path):
        assert told


def at(record, path):
    value = record["cloths"][0]["pieces"]
    for key in path:
        value = value[key]
    return value


# Against the order


def of_order(record, cloth=CLOTH):
    found = check_against_order(record, "Reading nook", [Ordered(cloth, PANELS)])
    return [(one.number, one.where) for one in found]


def test_a_record_with_the_pieces_of_its_order_has_no_findings():
    assert of_order(SOUND) == []


def of_remnant(**changes):
    return replace(CLOTH, stock=(replace(REMNANT, **changes), HIDE))


def of_hide(**changes):
    return replace(CLOTH, stock=(REMNANT, replace(HIDE, **changes)))


@pytest.mark.parametrize(
    ("cloth", "wanted"),
    [
        (of_remnant(flaws=()), (712, "teal twill, remnant: flaws")),
        (
            of_remnant(flaws=(spot(71, 20, 5, 5, what="oil"),)),
            (712, "teal twill, remnant: flaws[0]"),
        ),
        (
            of_remnant(flaws=(spot(70, 20, 5, 5, what="ink"),)),
            (712, "teal twill, remnant: flaws[0]"),
        ),
        (
            of_remnant(flaws=(spot(70, 20, 5, 5, what="oil", minor=True),)),
            (712, "teal twill, remnant: flaws[0]"),
        ),
        (of_remnant(length=101 * CM), (712, "teal twill, remnant: length_mm")),
        (of_remnant(width=61 * CM), (712, "teal twill, remnant: width_mm")),
        (of_remnant(selvedge=0), (712, "teal twill, remnant: selvedge_mm")),
        (of_remnant(widths=()), (712, "teal twill, remnant: widths_mm")),
        (of_remnant(splices=(46 * CM,)), (712, "teal twill, remnant: splices_mm")),
        (of_remnant(shade="B"), (712, "teal twill, remnant: shade")),
        (of_remnant(price=None), (712, "teal twill, remnant: price")),
        (of_remnant(name="offcut"), (711, "teal twill, remnant")),
        (of_hide(holes=(spot(39, 20, 5, 5).outline,)), (712, "teal twill, hide: holes_mm[0]")),
        (of_hide(holes=()), (712, "teal twill, hide: holes_mm")),
        (
            of_hide(outline=ring((0, 0), (60, 0), (60, 40), (50, 50), (10, 50), (0, 40))),
            (712, "teal twill, hide: outline_mm[0]"),
        ),
        (replace(CLOTH, flaws=()), (712, "teal twill, roll: flaws")),
        (replace(CLOTH, may_buy=False), (713, "teal twill, roll")),
    ],
)  # fmt: skip
def test_a_piece_that_is_not_as_in_the_order_is_found(cloth, wanted):
    assert of_order(SOUND, cloth) == [wanted]


@pytest.mark.parametrize("key", ["hidden", "one_shade"])
def test_a_panel_that_may_lie_otherwise_than_in_the_order_is_found(record, key):
    panel = record["cloths"][0]["panels"][0]
    panel[key] = key == "hidden"
    assert of_order(record) == [(704, "teal twill: stool / plate")]


def test_a_record_of_version_1_ignores_no_flaw_of_its_order():
    lay = worked_lays.mixed_lay()
    record = as_record(worked_lays.order_lay())
    record["schema"] = "clothwright/layout/1"
    del record["cloths"][0]["pieces"]
    spotted = replace(lay.cloth, flaws=CLOTH.flaws)
    found = check_against_order(record, "Reading nook", [Ordered(spotted, lay.panels)])
    assert [(one.number, one.where) for one in found] == [(712, "teal twill, roll: flaws")]


# Depth

PATCH = worked_lays.rectangle(10 * CM, 6 * CM, name="patch", item="patch")
BOARD = ClothPiece(
    "board",
    width=80 * CM,
    length=100 * CM,
    widths=((0, 80 * CM), (60 * CM, 70 * CM), (80 * CM, 80 * CM)),
    splices=(95 * CM,),
    flaws=(spot(20, 20, 8, 3),),
)
SKIN = ClothPiece(
    "skin",
    width=60 * CM,
    length=70 * CM,
    outline=ring((0, 0), (70, 0), (70, 50), (40, 60), (0, 60)),
    holes=(ring((20, 20), (30, 20), (25, 30)),),
)


def patch_at(on, x, y):
    """The record of one panel, laid with its least corner at a place on a piece."""
    cloth = replace(CLOTH, end_allowance=2 * CM, stock=(on,), flaws=())
    lay = ClothLay(
        cloth.on(on), (PATCH,), (PlacedPanel(PATCH, 1, 1, 0, x, y),), CM, False, on
    )  # fmt: skip
    return as_record(worked_lays.order_lay(lay))


def sound(on):
    """Everywhere that panels may lie on a piece, made here from its numbers; millimetres."""
    if on is SKIN:
        hide = shapely.Polygon([(0, 0), (700, 0), (700, 500), (400, 600), (0, 600)])
        return hide - shapely.Polygon([(200, 200), (300, 200), (250, 300)])
    wide = shapely.union_all(
        [shapely.box(20, 0, 980, 700), shapely.box(800, 0, 980, 800)]
    )  # narrower before 80 cm
    return wide - shapely.box(200, 200, 280, 230)


def depth(on, x, y):
    """How deep (mm) the panel lies in unsound cloth, or across a splice."""
    panel = shapely.box(x, y, x + 100, y + 60)
    bad = shapely.box(-2000, -2000, 4000, 4000) - sound(on)
    if not panel.intersects(bad):
        return 0.0
    common = panel & bad
    corners = shapely.points(shapely.get_coordinates([common]))
    inside = shapely.distance(corners, bad.boundary), shapely.distance(corners, panel.boundary)
    return float(max(each.max() for each in inside))


@given(
    st.sampled_from([BOARD, SKIN]),
    st.integers(-10, 10_100),
    st.integers(-10, 8_100),
    st.booleans(),
)
@settings(deadline=None, max_examples=150)
def test_unsound_cloth_is_found_exactly_when_a_panel_lies_deep_in_it(on, x, y, fine):
    """Places in tenths of a millimetre, or in hundredths near a flaw or an edge."""
    x, y = (x, y) if fine else (10 * (x // 10), 10 * (y // 10))
    x, y = 10 * x, 10 * y
    mm = x / GRID_PER_MM, y / GRID_PER_MM
    across = min(950 - mm[0], mm[0] + 100 - 950) if on is BOARD else 0.0
    deep = max(depth(on, *mm), across)
    found = [n for n, _ in places(patch_at(on, x, y))]
    assert bool(found) == (deep > DEPTH_MM)


#: Where a panel meets unsound cloth: the piece, the range of its least corner along the
#: contact, where it just touches, the way in, and the rule.
CONTACTS = [
    (BOARD, (10 * CM, 10 * CM), (16 * CM, 21 * CM), (1, 0), 309),  # the flaw from the left
    (BOARD, (12 * CM, 26 * CM), (14 * CM, 14 * CM), (0, 1), 309),  # from below
    (BOARD, (2 * CM, 69 * CM), (64 * CM, 64 * CM), (0, 1), 306),
    (BOARD, (80 * CM, 80 * CM), (67 * CM, 74 * CM), (-1, 0), 306),
    (BOARD, (85 * CM, 85 * CM), (0, 62 * CM), (1, 0), 310),
    (BOARD, (2 * CM, 2 * CM), (0, 60 * CM), (-1, 0), 302),
    (BOARD, (30 * CM, 79 * CM), (0, 0), (0, -1), 301),
    (SKIN, (0, 0), (0, 54 * CM), (-1, 0), 307),
    (SKIN, (0, 30 * CM), (54 * CM, 54 * CM), (0, 1), 307),
    (SKIN, (12 * CM, 27 * CM), (14 * CM, 14 * CM), (0, 1), 308),
]


@given(st.sampled_from(CONTACTS), st.data(), st.integers(-4, 8))
@settings(deadline=None, max_examples=150)
def test_a_panel_moved_in_is_found_exactly_when_deeper_than_two_hundredths(contact, data, steps):
    """Steps of 0.01 mm from where it touches; a piece may be met anywhere along a contact."""
    on, along, across, way, number = contact
    x, y = data.draw(st.integers(*along)), data.draw(st.integers(*across))
    found = places(patch_at(on, x + way[0] * steps, y + way[1] * steps))
    deep = steps / GRID_PER_MM > DEPTH_MM
    assert [n for n, _ in found] == [number] * deep


@given(st.lists(st.integers(2_000, 30_000), min_size=5, max_size=24), st.integers(100, 900))
@settings(deadline=None, max_examples=60)
def test_area_and_perimeter_of_a_hide_are_those_of_its_points(radii, hole):
    """The reference is shapely on the points themselves."""
    hide = star_hide(radii, hole)
    edge, (gone,) = hide.outline, hide.holes
    reference = shapely.Polygon(edge.points, [gone.points])
    usable = piece_of(hide).usable(0, edge.length / GRID_PER_MM)
    assert usable.area == pytest.approx(reference.area / GRID_PER_MM**2, rel=1e-9)
    assert usable.length == pytest.approx(reference.length / GRID_PER_MM, rel=1e-9)
    assert edge.area2 - gone.area2 == pytest.approx(2 * reference.area, rel=1e-12)
    end = PlacedPanel(PATCH, 1, 1, 0, edge.length - 10 * CM, 0)
    lay = ClothLay(CLOTH.on(hide), (PATCH,), (end,), CM, False, hide)
    assert usable_area2(lay) == pytest.approx(2 * reference.area, rel=1e-9)
