"""Areas, lengths and volumes of panels by another route: integrals, hulls, splines of scipy."""

import io
import math
from itertools import accumulate, pairwise

import ezdxf
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import BSpline
from scipy.spatial import ConvexHull
from scipy.special import ellipe
from shapely import LinearRing, Polygon, union_all
from shapely.affinity import translate

from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.tolerances import CHORD_MM


def values_of(product, **given_):
    return {m.name: given_.get(m.name, m.default) for m in products()[product].measurements}


def made(product, allowance_mm=10.0, **given_):
    values = values_of(product, **given_)
    assert products()[product].faults(values, allowance_mm) == ()
    return make_panels(
        products()[product], values, item="i", cloth="c", quantity=1, allowance_mm=allowance_mm
    )


def sizes(panel):
    return panel.stitch.length / 100, panel.stitch.height / 100


@given(st.floats(100, 900), st.floats(100, 900), st.floats(60, 700))
@settings(deadline=None, max_examples=25)
def test_the_faces_of_a_footstool_close_to_the_hull_of_its_corners(long, wide, high):
    """The eight corners are set out by the sizes of the cut panels, not by those asked for."""
    assume(abs(long - wide) > 1)
    stool = made("footstool", length=long, width=wide, height=high)
    panels = {panel.name: panel for panel in stool.panels}
    x, y = sizes(panels["face"])
    heights = {sizes(panels[name])[0] for name in ("side-long", "side-short")}
    assert max(heights) - min(heights) < 0.03
    corners = [(i * x, j * y, k * max(heights)) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    hull = ConvexHull(corners)
    assert stool.volume_litres == pytest.approx(hull.volume / 1e6, rel=1e-3)
    cut = sum(panel.per_item * panel.stitch.area_mm2 for panel in stool.panels)
    assert cut == pytest.approx(hull.area, rel=1e-3)
    assert stool.area_mm2 == pytest.approx(hull.area, rel=1e-3)


@st.composite
def plates(draw):
    """How far the corners of a star-shaped plate are from its middle, in equal directions."""
    return draw(st.lists(st.floats(150, 600), min_size=3, max_size=9))


@given(plates(), st.floats(40, 150))
@settings(deadline=None, max_examples=25)
def test_a_shaped_seat_has_the_area_of_its_polar_integral(reach, thickness):
    """In polar coordinates about the middle: area = ½·∫r² dφ, way round = ∫√(r² + r'²) dφ.

    Between two corners a and b at an angle w the side is
    r(t) = a·b·sin w/(a·sin t + b·sin(w - t)).
    """
    wide = math.tau / len(reach)
    middle = 700.0
    corners = tuple(
        (middle + r * math.cos(i * wide), middle + r * math.sin(i * wide))
        for i, r in enumerate(reach)
    )
    asked = {"corners": corners, "thickness": thickness}
    assume(not products()["shaped-seat"].faults(values_of("shaped-seat", **asked), 5.0))
    seat = made("shaped-seat", 5.0, **asked)
    area = around = 0.0
    for a, b in pairwise([*reach, reach[0]]):

        def side(t, a=a, b=b):
            return a * b * math.sin(wide) / (a * math.sin(t) + b * math.sin(wide - t))

        def slope(t, a=a, b=b):
            turning = b * math.cos(wide - t) - a * math.cos(t)
            return side(t, a, b) ** 2 * turning / (a * b * math.sin(wide))

        area += quad(lambda t: side(t) ** 2 / 2, 0, wide)[0]
        around += quad(lambda t: math.hypot(side(t), slope(t)), 0, wide)[0]
    assert seat.area_mm2 == pytest.approx(2 * area + around * thickness, rel=1e-6)
    assert seat.volume_litres == pytest.approx(area * thickness / 1e6, rel=1e-6)


def drawn(folder, name, text):
    path = folder / name
    path.write_text(text)
    return path


def svg(path_data):
    head = 'width="1000mm" height="1000mm" viewBox="0 0 1000 1000"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}><path d="{path_data}"/></svg>'


def green(curve, slope, end=1.0):
    """Area that a curve of (x, y) sweeps about the origin, and how long it is."""
    area = quad(
        lambda t: (curve(t)[0] * slope(t)[1] - curve(t)[1] * slope(t)[0]) / 2, 0, end, limit=200
    )[0]
    return area, quad(lambda t: math.hypot(*slope(t)), 0, end, limit=200)[0]


def held_against(panel, area, around):
    """Chords lie inside a curve by ``CHORD_MM`` at most; rounding goes outward by 0.015 mm.

    The cut line is valid and stands one allowance from the stitch line.
    """
    cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
    assert cut.is_valid
    assert cut.covers(stitch)
    assert cut.exterior.distance(stitch) == pytest.approx(panel.allowance, abs=3)
    assert panel.stitch.area_mm2 == pytest.approx(abs(area), abs=(CHORD_MM + 0.015) * around)
    length = LinearRing(panel.stitch.points).length / 100
    assert length == pytest.approx(around, rel=1e-3)


def test_half_a_disc_worked_by_hand(tmp_path):
    """Radius 300: π·300²/2 = 141 371.67 mm², 600 by 300 mm, cut 620 by 320 with 10 mm."""
    file = drawn(tmp_path, "half.svg", svg("M 200 600 A 300 300 0 0 1 800 600 Z"))
    (panel,) = made("outline", file=file).panels
    held_against(panel, 141_371.67, math.pi * 300 + 600)
    # At the corners the first chord leans inward by √(2·0.05/300) = 0.018, so that the mitre of
    # 10 mm stands out by 0.18 mm at either end.
    assert panel.cut.length / 100 == pytest.approx(620.36, abs=0.1)
    assert panel.cut.height / 100 == pytest.approx(320, abs=CHORD_MM)


@given(
    st.lists(st.floats(80, 420), min_size=4, max_size=4), st.lists(st.floats(0, 150), min_size=4)
)
@settings(deadline=None, max_examples=25)
def test_a_leaf_of_two_bezier_curves_has_its_area_by_green(tmp_path_factory, out, lean):
    """The cubic and its derivative by their definitions, not by our chords."""
    ends = (150.0, 500.0), (850.0, 500.0)
    up = [ends[0], (250 + lean[0], 500 + out[0]), (750 - lean[1], 500 + out[1]), ends[1]]
    down = [ends[1], (750 - lean[2], 500 - out[2]), (250 + lean[3], 500 - out[3]), ends[0]]

    def cubic(p):
        def at(t):
            weights = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            return tuple(sum(w * q[i] for w, q in zip(weights, p, strict=True)) for i in (0, 1))

        def slope(t):
            weights = 3 * (1 - t) ** 2, 6 * t * (1 - t), 3 * t * t
            steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(p)]
            return tuple(sum(w * s[i] for w, s in zip(weights, steps, strict=True)) for i in (0, 1))

        return green(at, slope)

    parts = [cubic(up), cubic(down)]
    words = " ".join(
        f"C {c[1][0]!r} {c[1][1]!r} {c[2][0]!r} {c[2][1]!r} {c[3][0]!r} {c[3][1]!r}"
        for c in (up, down)
    )
    file = drawn(tmp_path_factory.mktemp("leaf"), "leaf.svg", svg(f"M 150 500 {words} Z"))
    (panel,) = made("outline", 6.0, file=file).panels
    held_against(panel, sum(a for a, _ in parts), sum(n for _, n in parts))


@pytest.mark.parametrize(("a", "b"), [(300.0, 200.0), (400.0, 90.0), (250.0, 250.0)])
def test_an_ellipse_has_its_area_and_its_elliptic_integral_in_either_format(tmp_path, a, b):
    """π·a·b, and 4·a·E(1 - b²/a²) round it."""
    arcs = f"M {500 - a} 500 A {a} {b} 0 0 1 {500 + a} 500 A {a} {b} 0 0 1 {500 - a} 500 Z"
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_ellipse((500, 500), (a, 0), b / a)
    text = io.StringIO()
    document.write(text)
    for name, content in (("e.svg", svg(arcs)), ("e.dxf", text.getvalue())):
        (panel,) = made("outline", file=drawn(tmp_path, name, content)).panels
        held_against(panel, math.pi * a * b, 4 * a * ellipe(1 - (b / a) ** 2))


def test_bulges_have_the_area_of_their_segments(tmp_path):
    """A bulge is the tangent of a quarter of its angle (DXF reference).

    Radius = chord·(1 + k²)/(4·k), segment = r²·(w - sin w)/2 with w = 4·atan k.
    """
    sides = [(500.0, 0.3), (300.0, 0.0), (500.0, 1.0), (300.0, 0.15)]
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    corners = [(0, 0), (500, 0), (500, 300), (0, 300)]
    points = [(*corner, k) for corner, (_, k) in zip(corners, sides, strict=True)]
    document.modelspace().add_lwpolyline(points, format="xyb", close=True)
    text = io.StringIO()
    document.write(text)
    around = bulges = 0.0
    for chord, k in sides:
        angle = 4 * math.atan(k)
        radius = chord * (1 + k * k) / (4 * k) if k else math.inf
        bulges += radius**2 * (angle - math.sin(angle)) / 2 if k else 0
        around += radius * angle if k else chord
    (panel,) = made("outline", file=drawn(tmp_path, "b.dxf", text.getvalue())).panels
    held_against(panel, 500 * 300 + bulges, around)


def test_a_spline_has_the_area_that_scipy_integrates(tmp_path):
    control = [(0, 0), (200, -120), (520, -60), (600, 200), (450, 420), (150, 380), (0, 0)]
    knots = [0, 0, 0, 0, 1, 2, 3, 4, 4, 4, 4]
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_open_spline(control, degree=3, knots=[float(k) for k in knots])
    text = io.StringIO()
    document.write(text)
    spline = BSpline(knots, control, 3)
    area, around = green(spline, spline.derivative(), 4.0)
    (panel,) = made("outline", file=drawn(tmp_path, "s.dxf", text.getvalue())).panels
    held_against(panel, area, around)


@given(
    st.floats(800, 6_000),
    st.floats(3, 12),
    st.sampled_from(("bias", "across", "along")),
    st.integers(1, 6),
)
@settings(deadline=None, max_examples=25)
def test_the_pieces_of_a_welt_join_to_one_straight_strip(run, cord, cut, strips):
    """Laid end to start they cover a parallelogram with no gap; its width is once round the cord.

    The way round the cord is ∮√(x'² + y'²) dφ.
    """
    values = values_of("welt", length=run, cord=cord, overlap=30.0, cut=cut, strips=strips)
    assume(not products()["welt"].faults(values, 10.0))
    (panel,) = products()["welt"].draft(values).panels
    end, start = panel.edges["end"].points, panel.edges["start"].points
    step = end[0][0] - start[-1][0], end[0][1] - start[-1][1]
    assert math.dist((start[0][0] + step[0], start[0][1] + step[1]), end[-1]) < 1e-6
    assert math.hypot(*step) == pytest.approx((run + 30) / strips)
    shifts = accumulate([step] * (panel.per_item - 1), lambda a, b: (a[0] + b[0], a[1] + b[1]),
                        initial=(0.0, 0.0))  # fmt: skip
    whole = union_all([translate(Polygon(panel.ring), *shift) for shift in shifts], grid_size=1e-6)
    around = quad(lambda t: math.hypot(cord / 2 * math.sin(t), cord / 2 * math.cos(t)), 0, math.tau)
    assert panel.per_item == strips
    assert whole.geom_type == "Polygon"
    assert whole.convex_hull.area == pytest.approx(whole.area, rel=1e-6)
    assert whole.area == pytest.approx((run + 30) * around[0], rel=1e-6)
