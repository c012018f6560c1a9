"""Open packing sets, read, laid out and checked in their own coordinates."""

import json
from fractions import Fraction
from pathlib import Path

import pytest

from benchmarks.instances import FINE, Instance, Kind, Placed, read_instances
from benchmarks.proof import UnprovenLayoutError, prove
from benchmarks.workloads import bottom_left

INSTANCES = Path(__file__).parents[3] / "shared" / "instances"

#: A square with one corner cut off and a bar, both away from the origin.
PIECES = {
    "name": "two",
    "strip_width": 5,
    "pieces": [
        {
            "name": "corner",
            "quantity": 2,
            "rotations_deg": [0, 90, 180, 270],
            "outline": [[1, -1], [3.5, -1], [3.5, 2], [1, 1]],
        },
        {
            "name": "bar",
            "quantity": 1,
            "rotations_deg": [0],
            "outline": [[0, 0], [4, 0], [4, 1], [0, 1]],
        },
    ],
    "published_layouts": [{"method": "by hand", "reference": "a note", "stated_length": 5.0}],
}
RECTANGLES = {
    "instances": {
        "R1": {"strip_width": 10, "optimum_length": 7, "rectangles": [[7, 4], [6, 7], [7, 4]]}
    }
}


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "a.json").write_text(json.dumps(PIECES), encoding="utf-8")
    (tmp_path / "b.json").write_text(json.dumps(RECTANGLES), encoding="utf-8")
    (tmp_path / "README.md").write_text("not an instance", encoding="utf-8")
    return tmp_path


def test_both_formats_are_read_from_a_folder_and_from_a_file(folder):
    two, rectangles = read_instances(folder)
    assert [kind.quantity for kind in two.kinds] == [2, 1]
    assert [kind.name for kind in rectangles.kinds] == ["0", "1", "2"]
    assert rectangles.kinds[1].turns == (0, 90)
    assert list(read_instances(folder / "b.json")) == [rectangles]


def test_density_is_area_over_strip_width_and_length(folder):
    two, rectangles = read_instances(folder)
    # Trapezium 2.5 wide, 2 and 3 high: 6.25. Twice that and the bar: 16.5 of 5 x 5.
    assert two.density(5) == pytest.approx(66.0)
    # 28 + 42 + 28 = 98 of 10 x 9.8
    assert rectangles.density(9.8) == pytest.approx(100.0)


def test_the_grid_is_fine_and_exact(folder):
    two, _ = read_instances(folder)
    assert FINE <= two.scale * 5 < 10 * FINE
    corner = two.problem.shapes[0].outline
    assert Fraction(corner.length, two.scale) == Fraction(5, 2)
    assert Fraction(corner.area2, 2 * two.scale**2) == Fraction(25, 4)


def test_equal_pieces_are_one_shape(folder):
    _, rectangles = read_instances(folder)
    assert [piece.shape for piece in rectangles.problem.pieces] == [0, 1, 0]


def test_published_values_keep_their_method_and_source(folder):
    two, rectangles = read_instances(folder)
    (stated,) = two.published
    assert (stated.method, stated.source, stated.length) == ("by hand", "a note", 5.0)
    assert [(each.method, each.length) for each in rectangles.published] == [("optimum", 7.0)]


def test_placements_turn_the_outline_about_the_origin_and_then_shift_it(folder):
    two, _ = read_instances(folder)
    # By hand: the corner turned by 90 covers x from -2 to 1 and y from 1 to 3.5.
    placed = (
        Placed("corner", 90, 2.0, -1.0),
        Placed("corner", 0, 2.0, 1.0),
        Placed("bar", 0, 0.0, 4.0),
    )
    assert prove(two, placed) == pytest.approx(5.5)


def test_a_rectangle_is_recorded_by_its_least_corner_after_the_turn(folder):
    two, rectangles = read_instances(folder)
    # By hand: 7 x 4 turned by 90 about the origin covers x from -4 to 0 and y from 0 to 7.
    assert rectangles.recorded(Placed("0", 90, 4.0, 1.0)) == Placed("0", 90, 0.0, 1.0)
    assert rectangles.recorded(Placed("1", 0, 4.0, 3.0)) == Placed("1", 0, 4.0, 3.0)
    corner = Placed("corner", 90, 2.0, -1.0)
    assert two.recorded(corner) == corner


def test_layouts_of_the_packer_pass_the_check_in_the_instances_own_coordinates(folder):
    for instance in read_instances(folder):
        layout = bottom_left(instance.problem)
        ends = [layout.outline(i).bounds for i in range(len(layout.placements))]
        used = max(end[2] for end in ends) - min(end[0] for end in ends)
        assert prove(instance, instance.placed(layout)) == pytest.approx(used / instance.scale)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (("bar", 0, 0.0, 2.0), "overlap"),
        (("bar", 0, 0.0, 4.1), "not on the strip"),
        (("bar", 0, -0.1, 4.0), "not on the strip"),
        (("bar", 90, 1.0, 0.0), "turned by 90"),
        (("corner", 0, 9.0, 1.0), "bar is laid 0 times, not 1"),
    ],
)
def test_a_layout_that_breaks_a_rule_is_refused_with_the_reason(folder, change, reason):
    two, _ = read_instances(folder)
    good = (Placed("corner", 90, 2.0, -1.0), Placed("corner", 0, 2.0, 1.0))
    with pytest.raises(UnprovenLayoutError, match=reason):
        prove(two, (*good, Placed(*change)))


@pytest.mark.parametrize(
    "text",
    ["[]", "{", '{"name": "x"}', json.dumps(PIECES).replace("270", "45"), '{"instances": [1]}'],
)
def test_a_file_in_no_known_format_is_named(tmp_path, text):
    path = tmp_path / "odd.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"odd\.json"):
        list(read_instances(path))


def test_numbers_with_too_many_decimals_are_laid_on_a_fine_grid():
    third = Fraction(1, 3)
    square = ((third, third), (third + 1, third), (third + 1, third + 1), (third, third + 1))
    instance = Instance("thirds", Fraction(2), (Kind("square", square, (0,), 2),), ())
    assert instance.problem.width == 2 * instance.scale >= FINE
    placed = instance.placed(bottom_left(instance.problem))
    assert prove(instance, placed) == pytest.approx(1)


@pytest.mark.skipif(not INSTANCES.is_dir(), reason=f"the open data sets are not at {INSTANCES}")
def test_every_open_set_is_read_and_a_published_layout_passes_the_check():
    read = {instance.name: instance for instance in read_instances(INSTANCES)}
    assert len(read) == 44  # nine sets of outlines, 35 of rectangles
    data = json.loads((INSTANCES / "fu.json").read_text(encoding="utf-8"))
    (stored,) = (each for each in data["published_layouts"] if each["method"] == "SAHA")
    placed = [Placed(p["piece"], p["turn_deg"], p["x"], p["y"]) for p in stored["placements"]]
    # Stated to three decimals; 90.96 per cent by the README of the data.
    assert prove(read["fu"], placed) == pytest.approx(stored["stated_length"], abs=1e-3)
    assert read["fu"].density(stored["stated_length"]) == pytest.approx(90.96, abs=5e-3)
