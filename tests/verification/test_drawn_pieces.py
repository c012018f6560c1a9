"""Drawings of one piece of a cloth out of several, checked against the order."""

from dataclasses import replace

import lays_on_pieces
import pytest
from lays_on_pieces import CLOTH, HIDE, PANELS, REMNANT

from nesting.drawings.drawing import Path, Pen
from nesting.drawings.tool import Tool
from nesting.exporters.lay import lay_drawing
from nesting.layouts.lay import PlacedPanel
from nesting.units import CM, MM
from nesting.verification.drawn import check_drawing
from nesting.verification.knife import check_knife_drawing

ON_REMNANT, ON_HIDE, ON_ROLL = lays_on_pieces.lays()


def sheet(lay, tool=Tool.PEN, length=None):
    """The drawing of a lay, with the edge of its piece drawn here."""
    drawn = lay_drawing(lay, tool)
    if tool is Tool.KNIFE or lay.piece is None:
        return drawn
    low, high = lay.on.selvedge / MM, (lay.on.width - lay.on.selvedge) / MM
    end, top = (length or lay.on.length) / MM, lay.on.width / MM
    edge = [(0.0, 0.0), (end, 0.0), (end, top), (0.0, top)]
    if lay.on.outline:
        edge = [(x / MM, y / MM) for x, y in lay.on.outline.points]
    lines = [((0.0, y), (end, y)) for y in (low, high) if lay.on.selvedge]
    kept = (path for path in drawn.paths if path.pen is not Pen.SELVEDGE)
    edges = (Path(Pen.SELVEDGE, tuple(edge), closed=True),)
    return replace(
        drawn, paths=(*edges, *(Path(Pen.SELVEDGE, line) for line in lines), *kept)
    )  # fmt: skip


def numbers(lay, drawing=None, *, complete=False):
    found = check_drawing(
        drawing or sheet(lay), lay.cloth, PANELS, lay.piece, complete=complete
    )  # fmt: skip
    return [one.number for one in found]


@pytest.mark.parametrize("lay", [ON_REMNANT, ON_HIDE, ON_ROLL])
@pytest.mark.parametrize(
    ("check", "tool"), [(check_drawing, Tool.PEN), (check_knife_drawing, Tool.KNIFE)]
)
def test_a_sound_drawing_of_one_piece_has_no_findings(lay, check, tool):
    assert check(sheet(lay, tool), lay.cloth, PANELS, lay.piece, complete=False) == ()


def test_panels_that_are_not_drawn_are_missing_only_where_all_must_be():
    assert numbers(ON_HIDE, complete=True) == [101] * 4
    assert numbers(ON_HIDE) == []


def moved(lay, index, **place):
    placed = list(lay.placed)
    placed[index] = replace(placed[index], **place)
    return replace(lay, placed=tuple(placed))


@pytest.mark.parametrize(
    ("lay", "wanted"),
    [
        (moved(ON_REMNANT, 1, x=64 * CM, y=18 * CM), 309),
        (moved(ON_REMNANT, 1, x=44 * CM, y=40 * CM), 310),
        (moved(ON_REMNANT, 0, y=24 * CM), 306),
        (moved(ON_REMNANT, 1, x=79 * CM), 305),
        (moved(ON_HIDE, 0, x=0, y=29 * CM), 307),
        (moved(ON_HIDE, 0, x=30 * CM, y=10 * CM), 308),
        (moved(ON_ROLL, 0, y=80 * CM), 309),
    ],
)
@pytest.mark.parametrize(
    ("check", "tool"), [(check_drawing, Tool.PEN), (check_knife_drawing, Tool.KNIFE)]
)
def test_a_panel_on_unsound_cloth_is_found_in_its_drawing(lay, wanted, check, tool):
    found = check(sheet(lay, tool), lay.cloth, PANELS, lay.piece, complete=False)
    assert [one.number for one in found] == [wanted]


def test_a_panel_drawn_twice_or_of_another_order_is_found():
    strap = ON_REMNANT.placed[1]
    twice = replace(ON_REMNANT, placed=(*ON_REMNANT.placed, replace(strap, y=40 * CM)))
    assert numbers(twice) == [102]
    foreign = PlacedPanel(replace(strap.panel, name="loop"), 1, 1, 0, 46 * CM, 40 * CM)
    lay = replace(ON_REMNANT, placed=(*ON_REMNANT.placed, foreign))
    assert 103 in numbers(lay)


def test_the_edge_of_the_piece_must_be_drawn():
    assert numbers(ON_REMNANT, sheet(ON_REMNANT, length=70 * CM)) == [604]
    box = ((0.0, 0.0), (600.0, 0.0), (600.0, 500.0), (0.0, 500.0))
    drawing = sheet(ON_HIDE)
    edge = next(path for path in drawing.paths if path.pen is Pen.SELVEDGE)
    others = (path for path in drawing.paths if path is not edge)
    boxed = replace(drawing, paths=(Path(Pen.SELVEDGE, box, closed=True), *others))
    assert numbers(ON_HIDE, boxed) == [604]


def test_a_drawing_of_one_piece_is_not_taken_for_one_of_another():
    found = check_drawing(sheet(ON_REMNANT), CLOTH.on(HIDE), PANELS, HIDE, complete=False)
    assert {307, 604} <= {one.number for one in found}
    found = check_drawing(sheet(ON_HIDE), CLOTH.on(REMNANT), PANELS, REMNANT, complete=False)
    assert 604 in {one.number for one in found}
