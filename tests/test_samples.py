"""Sample orders come out as their `expected.toml` reckons by hand."""

import re
import tomllib
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from oracles import svg_shapes

from nesting import Limits, lay_files, plan_order, read_order
from nesting.drawings.drawing import Pen
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg
from nesting.exporters.cut_path import cut_path
from nesting.exporters.lay import lay_drawing, lay_in_plain_letters
from nesting.units import BARE_UNITS, to_mm
from nesting.verification.drawn import check_drawing
from nesting.verification.separation import overlaps

SAMPLES = Path(__file__).parent.parent / "samples"
NAMES = ("poufs", "bench", "two-cloths")

#: Curves are chords that may lie 0.05 mm inside: on a cap of 15 cm, 1.3 thousandths at most.
AREA_SHARE = 1e-3


@pytest.fixture(scope="module", params=NAMES)
def sample(request):
    """The folder's expectation and the plan of its order."""
    folder = SAMPLES / request.param
    expected = tomllib.loads((folder / "expected.toml").read_text(encoding="utf-8"))
    limits = Limits(seconds=None, steps=expected["steps"])
    return expected, plan_order(read_order(folder / "order.toml"), limits, workers=1)


@pytest.fixture(scope="module")
def drawings(sample):
    """Each lay of the sample's plan, drawn in its order of cutting."""
    _, plan = sample
    plain = [lay_in_plain_letters(lay)[0] for lay in plan.lay.cloths]
    return [cut_path(lay_drawing(lay)).drawing for lay in plain]


def unit_mm(plan):
    return to_mm(BARE_UNITS[plan.order.units])


def in_units(length, plan):
    """A length in the order's units, to two decimals: gaps and sizes are rounded to the grid."""
    return round(to_mm(length) / unit_mm(plan), 2)


def by_name(plan, expected):
    lays = {lay.cloth.name: lay for lay in plan.lay.cloths}
    assert set(lays) == {cloth["name"] for cloth in expected["cloth"]}
    return [(lays[cloth["name"]], cloth) for cloth in expected["cloth"]]


def test_every_panel_has_the_number_and_area_reckoned_by_hand(sample):
    expected, plan = sample
    placed = [each.panel for lay in plan.lay.cloths for each in lay.placed]
    counted = Counter((panel.item, panel.name) for panel in placed)
    areas = {(p.item, p.name): p.cut.area_mm2 / unit_mm(plan) ** 2 for p in placed}
    reckoned = {(each["item"], each["panel"]): each for each in expected["panel"]}
    assert counted == {key: each["count"] for key, each in reckoned.items()}
    assert areas == {
        key: pytest.approx(each["area"], rel=AREA_SHARE) for key, each in reckoned.items()
    }


def test_every_lay_is_as_short_as_expected_and_no_shorter_than_possible(sample):
    expected, plan = sample
    for lay, cloth in by_name(plan, expected):
        used, bound = (in_units(n, plan) for n in (lay.used_length, lay.lower_bound))
        assert cloth["used_at_least"] <= bound <= used <= cloth["used_at_most"]
        if cloth.get("proved"):
            assert lay.proved_optimal


def test_what_is_bought_and_paid_follows_from_the_length(sample):
    expected, plan = sample
    for lay, cloth in by_name(plan, expected):
        bought, step = lay.buy_length, lay.cloth.buy_step
        assert bought % step == 0
        assert 0 <= bought - lay.used_length - 2 * lay.cloth.end_allowance < step
        assert in_units(bought, plan) <= cloth["buy_at_most"]
        assert float(lay.cost) <= cloth["cost_at_most"]


def test_the_files_of_every_sample_are_written_and_proved(sample):
    _, plan = sample
    names = {re.sub("[^a-z0-9]", "-", lay.cloth.name) for lay in plan.lay.cloths}
    drawings = {f"{name}.{kind}" for name in names for kind in ("dxf", "svg")}
    pages = {"report.html", "make-up.html"}
    assert set(lay_files(plan)) == {"layout.json", "marking-out.csv"} | pages | drawings


FORMATS = {
    "dxf": lambda drawing: dxf_reader.read(dxf.write(drawing)),
    "dxf with arcs": lambda drawing: dxf_reader.read(dxf.write(drawing, arcs=True)),
    "dxf-r12": lambda drawing: dxf_reader.read(dxf.write(drawing, dxf.Release.R12)),
    "svg": lambda drawing: svg_reader.read(svg.write(drawing)),
    "plt": lambda drawing: hpgl_reader.read(hpgl.write(drawing, hpgl.Plotter(frame=600.0))),
}


@pytest.mark.parametrize("way", FORMATS)
def test_every_mark_of_every_sample_is_proved_in_every_format(sample, drawings, way):
    _, plan = sample
    for lay, drawing in zip(plan.lay.cloths, drawings, strict=True):
        assert check_drawing(FORMATS[way](drawing), lay.cloth, lay.panels) == ()
        notches = [path for path in drawing.paths if path.pen is Pen.NOTCH]
        for gone in notches[:1]:  # the panels of some cloths have none
            paths = tuple(path for path in drawing.paths if path is not gone)
            faulty = FORMATS[way](replace(drawing, paths=paths))
            assert [each.number for each in check_drawing(faulty, lay.cloth, lay.panels)] == [606]


def test_the_picture_of_the_first_sample_shows_a_lay_of_it():
    expected = tomllib.loads((SAMPLES / "poufs" / "expected.toml").read_text(encoding="utf-8"))
    (cloth,) = expected["cloth"]
    shapes = svg_shapes((SAMPLES / "poufs" / "lay.svg").read_bytes())
    cut = [shapely.Polygon(points) for pen, closed, points in shapes if pen == "cut" and closed]
    areas = Counter(round(polygon.area / 1e4) for polygon in cut)  # dm²
    assert areas == Counter(
        {round(each["area"] / 100): each["count"] for each in expected["panel"]}
    )
    assert list(overlaps(cut, deeper_than=0.02)) == []
    least, _, greatest, _ = shapely.total_bounds(cut)
    assert (greatest - least) / 10 <= cloth["used_at_most"]
