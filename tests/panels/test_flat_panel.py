"""The plain panel."""

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from nesting.panels.making import make_panels
from nesting.panels.product import products


def test_its_length_lies_along_the_grain(make):
    (panel,) = make("panel", length=300.0, width=200.0).panels
    assert (panel.name, panel.per_item) == ("panel", 1)
    assert panel.cut.bounds == (0, 0, 30_000, 20_000)


def test_its_area_is_length_by_width(make):
    """300·200 = 60 000 mm² finished; with 12 mm all round 324·224 = 72 576 mm² (by hand)."""
    made = make("panel", 12.0, length=300.0, width=200.0)
    assert made.area_mm2 == 60_000
    assert made.panels[0].cut.area_mm2 == 72_576


def test_the_allowance_grows_every_edge(make):
    (panel,) = make("panel", 12.0, length=300.0, width=200.0).panels
    assert panel.cut.bounds == (0, 0, 32_400, 22_400)
    assert panel.stitch.bounds == (1_200, 1_200, 31_200, 21_200)
    assert panel.allowance == 1_200


def test_nothing_is_sewn_to_it(make):
    made = make("panel", 12.0, length=300.0, width=200.0)
    assert made.seams == ()
    assert made.panels[0].notches == ()


def test_an_allowance_of_more_than_half_of_it_is_refused(faults):
    fault = faults("panel", 11.0, length=300.0, width=20.0)["seam_allowance"]
    assert "half of the narrowest" in fault.rule
    assert fault.value == "11 mm"
    assert " 10 mm" in fault.remedy


@given(st.floats(5, 3000), st.floats(5, 3000), st.sampled_from((0.0, 5.0, 10.0, 12.7)))
@settings(deadline=None, max_examples=40)
def test_any_panel_is_its_rectangle_with_the_allowance_all_round(long, wide, allowance):
    values = {"length": long, "width": wide}
    assume(not products()["panel"].faults(values, allowance))
    (panel,) = make_panels(
        products()["panel"], values, item="p", cloth="c", quantity=1, allowance_mm=allowance
    ).panels
    stitch = Polygon((panel.stitch or panel.cut).points)
    grown = stitch.buffer(round(100 * allowance), join_style="mitre")
    assert Polygon(panel.cut.points).equals(box(*grown.bounds))
    x0, y0, x1, y1 = stitch.bounds
    assert -1e-9 <= (x1 - x0) / 100 - long < 0.02
    assert -1e-9 <= (y1 - y0) / 100 - wide < 0.02
