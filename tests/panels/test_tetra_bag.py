"""Tetra bags against the volumes of tetrahedra and sizes worked by hand."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from shapely import LinearRing, Polygon, box

from nesting.panels.making import make_panels
from nesting.panels.product import products


def test_a_regular_one_is_a_tube_of_twice_the_edge_by_its_face_height(make):
    """Edge 800: 1600 + 20 across, 692.820 + 20 along; 0.11785·8³ = 60.340 l (by hand).

    The formula V = a³/(6·√2) = 0.11785·a³ is that of a regular tetrahedron.
    """
    made = make("tetra-bag", 10.0, edge=800.0)
    (tube,) = made.panels
    assert tube.cut.height == pytest.approx(162_000, abs=2)
    assert tube.cut.length == pytest.approx(71_282, abs=2)
    assert made.volume_litres == pytest.approx(60.340, abs=0.001)
    assert made.area_mm2 == pytest.approx(1600 * 692.820, rel=1e-6)


def test_a_longer_one_holds_more(make):
    """Edge 600, tube 700: √(700² - 300²) = 632.456; 0.36·632.456/6 = 37.947 l (by hand)."""
    made = make("tetra-bag", edge=600.0, length=700.0)
    assert made.volume_litres == pytest.approx(37.947, abs=0.001)
    assert "lie 63.2 cm apart" in made.facts[0].in_unit("cm")


def test_two_pieces_are_as_wide_as_the_edge(make):
    (tube,) = make("tetra-bag", 10.0, edge=800.0, pieces=2).panels
    assert (tube.per_item, tube.cut.height) == (2, 82_000)


def test_a_zip_lies_in_one_end_which_is_as_long_as_the_edge(make):
    """800 - 20 = 780 mm (by hand)."""
    made = make("tetra-bag", 10.0, edge=800.0, closure="zip")
    upper = next(s for s in made.seams if s.seam == "upper end")
    assert (upper.second_mm, upper.opening_mm) == (pytest.approx(800), pytest.approx(780))


@pytest.mark.parametrize("pieces", [1, 2])
@pytest.mark.parametrize(("end", "fold"), [("lower end", 0), ("upper end", 400)])
def test_its_ends_are_folded_a_quarter_round_from_each_other(draft, pieces, end, fold):
    """Where a flat end folds, both sides of its seam begin or end at one place round the tube.

    Edge 800: half-way round is 800; the lower end folds at 0 and 800, the upper at 400 and 1200.
    """
    made = draft("tetra-bag", edge=800.0, pieces=pieces)
    seam = next(s for s in made.seams if s.name == end)
    begin, finish = made.edge(seam.first[0]).points[0], made.edge(seam.first[-1]).points[-1]
    meets_begin = made.edge(seam.second[0]).points[-1]
    meets_finish = made.edge(seam.second[-1]).points[0]
    for _, way in (begin, finish, meets_begin, meets_finish):
        assert abs(way) % 800 == fold


@pytest.mark.parametrize("long", [439.0, 2401.0])
def test_a_tube_out_of_proportion_is_refused(faults, long):
    rule = faults("tetra-bag", edge=800.0, length=long)["length"].rule
    assert "between 440 mm and 2400 mm" in rule


def test_bead_fill_warns_of_suffocation_and_names_the_standard_for_bean_bags():
    cautions = " ".join(products()["tetra-bag"].cautions)
    assert "suffocate" in cautions
    assert "ASTM F1912" in cautions


@given(
    st.floats(150, 2000),
    st.floats(0.56, 2.9),
    st.integers(1, 2),
    st.sampled_from(("none", "zip")),
    st.sampled_from((5.0, 10.0, 15.0)),
)
@settings(deadline=None, max_examples=30)
def test_any_tetra_bag_meets_at_its_seams_and_holds_the_hull_of_its_corners(
    edge, part, pieces, closure, allowance
):
    product = products()["tetra-bag"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"edge": edge, "length": part * edge, "pieces": pieces, "closure": closure}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    half, up = edge / 2, math.sqrt((part * edge) ** 2 - edge**2 / 4)
    corners = [(-half, 0, 0), (half, 0, 0), (0, -half, up), (0, half, up)]
    hull = ConvexHull(np.array(corners))
    assert made.volume_litres * 1e6 == pytest.approx(hull.volume)
    assert made.area_mm2 == pytest.approx(hull.area)
    (panel,) = made.panels
    stitch, cut = Polygon(panel.stitch.points), Polygon(panel.cut.points)
    assert cut.equals(box(*stitch.buffer(100 * allowance, join_style="mitre").bounds))
    assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01


def cayley_menger(edges):
    """Volume of a tetrahedron by its six edges: 288·V² = det (Cayley and Menger)."""
    matrix = np.ones((5, 5)) - np.eye(5)
    for (i, j), edge in edges.items():
        matrix[i + 1, j + 1] = matrix[j + 1, i + 1] = edge**2
    return math.sqrt(np.linalg.det(matrix) / 288)


@pytest.mark.parametrize(("edge", "long"), [(800.0, None), (600.0, 700.0), (900.0, 500.0)])
def test_its_volume_follows_from_edges_measured_on_the_cut_panel(make, edge, long):
    """The flat stitch line has all six edges: both ends folded in two, and four across it.

    The lower end folds at the corners and the middle of its side, the upper end a quarter round
    from there; a straight line on the flat cloth from fold to fold is an edge of the bag.
    """
    made = make("tetra-bag", 10.0, edge=edge, **({"length": long} if long else {}))
    (tube,) = made.panels
    height, around = tube.stitch.length / 100, tube.stitch.height / 100
    slant = math.hypot(height, around / 4)
    edges = {(0, 1): around / 2, (2, 3): around / 2}
    edges |= {(i, j): slant for i in (0, 1) for j in (2, 3)}
    assert made.volume_litres * 1e6 == pytest.approx(cayley_menger(edges), rel=1e-3)
    if long is None:
        assert slant == pytest.approx(edge, abs=0.03)  # a regular one
