"""`clothwright lay --start-corner`: the order of cutting in the files, and its travel."""

import re

import pytest
from oracles import dxf_polylines

from nesting.drawings.drawing import Pen

QUICK = ("--steps", "1", "--workers", "1", "--formats", "dxf,plt")


def _lay(clothwright, order, *options):
    ended = clothwright("lay", order, *QUICK, *options)
    assert ended.status == 0
    data = (order.parent / "bench-lay" / "grey-wool-2.dxf").read_bytes()
    return ended, [(pen, points) for pen, _, points in dxf_polylines(data)]


def _square(point, corner, sheet):
    """Square of the distance from a corner of the sheet, given as 0 or 1 along and across."""
    return sum((p - c * s) ** 2 for p, c, s in zip(point, corner, sheet, strict=True))


def test_the_travel_is_stated_once_on_standard_error(clothwright, order):
    ended, _ = _lay(clothwright, order)
    (shown,) = re.findall(
        r"Cutting machine, Grey Wool 2: between cuts the head travels .*", ended.err
    )
    assert "from the corner at the cut end by the lower edge" in shown
    assert "head travels" not in ended.out


@pytest.mark.parametrize(
    ("name", "corner"),
    [
        ("cut-end-lower", (0, 0)),
        ("cut-end-upper", (0, 1)),
        ("far-end-lower", (1, 0)),
        ("far-end-upper", (1, 1)),
    ],
)
def test_cutting_begins_near_the_corner_and_after_everything_else(clothwright, order, name, corner):
    _, lines = _lay(clothwright, order, "--start-corner", name)
    cuts = [points for pen, points in lines if pen == Pen.CUT]
    assert {pen for pen, _ in lines[-len(cuts) :]} == {Pen.CUT}
    sheet = [max(axis) for axis in zip(*(p for _, points in lines for p in points), strict=True)]
    opposite = [1 - c for c in corner]
    assert _square(cuts[0][0], corner, sheet) < _square(cuts[0][0], opposite, sheet)


def test_another_corner_is_refused(clothwright, order):
    ended = clothwright("lay", order, "--start-corner", "middle")
    assert ended.status == 2
    assert "--start-corner: must be one of cut-end-lower, cut-end-upper" in ended.err
    assert '"middle"' in ended.err
    assert not (order.parent / "bench-lay").exists()
