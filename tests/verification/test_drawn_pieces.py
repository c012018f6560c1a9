"""Drawings of one piece of a cloth out of several, checked against the order."""

from dataclasses import replace

import lays_on_pieces
import pytest
from lays_on_pieces import CLOTH, HIDE, PANELS, REMNANT

from nesting.drawings.drawing import Path, Pen
from nesting.drawings.tool import FOLLOWED, Tool
from nesting.exporters.lay import lay_drawing
from nesting.layouts.lay import PlacedPanel
from nesting.units import CM
from nesting.verification.drawn import check_drawing
from nesting.verification.knife import check_knife_drawing

ON_REMNANT, ON_HIDE, ON_ROLL = lays_on_pieces.lays()


def sheet(lay, tool=Tool.PEN):
    return lay_drawing(lay, tool)


def with_paths(drawing, change):
    """The drawing with each of its paths changed, or left out where ``change`` gives None."""
    changed = map(change, drawing.paths)
    return replace(drawing, paths=tuple(path for path in changed if path))


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
    def shorter(path):
        edge = path.pen is Pen.SELVEDGE and path.closed
        points = tuple((min(x, 700.0), y) for x, y in path.points)
        return replace(path, points=points) if edge else path

    assert numbers(ON_REMNANT, with_paths(sheet(ON_REMNANT), shorter)) == [604]
    box = ((0.0, 0.0), (600.0, 0.0), (600.0, 500.0), (0.0, 500.0))
    drawing = sheet(ON_HIDE)
    edge = next(path for path in drawing.paths if path.pen is Pen.SELVEDGE)
    boxed = with_paths(drawing, lambda path: replace(edge, points=box) if path is edge else path)
    assert numbers(ON_HIDE, boxed) == [604]


def is_flaw(path):
    return path.pen is Pen.FLAW and path.closed


def is_splice(path):
    return path.pen is Pen.FLAW and not path.closed


def is_hole(path):
    return path.pen is Pen.SELVEDGE and path.closed and min(x for x, _ in path.points) > 0


def is_measured(path):
    return path.pen is Pen.SELVEDGE and len({y for _, y in path.points}) > 1 and not path.closed


#: How many lines of each kind the drawing has, by hand: the hide has a hole, the roll a
#: flaw and a minor one, and the remnant the other ones; its measured edge has a selvedge line.
LINES = [
    (ON_REMNANT, is_flaw, 1),
    (ON_REMNANT, is_splice, 1),
    (ON_HIDE, is_hole, 1),
    (ON_ROLL, is_flaw, 2),
]


@pytest.mark.parametrize(("lay", "kind", "count"), LINES)
def test_what_a_piece_has_is_drawn_and_found_missing(lay, kind, count):
    drawing = sheet(lay)
    assert sum(map(kind, drawing.paths)) == count
    without = with_paths(drawing, lambda path: None if kind(path) else path)
    assert numbers(lay, without) == [613] * count


@pytest.mark.parametrize(("lay", "kind", "count"), LINES)
def test_what_a_piece_has_is_found_where_it_is_drawn_elsewhere(lay, kind, count):
    def aside(path):
        moved = tuple((x + 0.5, y) for x, y in path.points)
        return replace(path, points=moved) if kind(path) else path

    assert numbers(lay, with_paths(sheet(lay), aside)) == [613] * count + [614] * count


def test_a_line_too_many_is_found():
    drawing = sheet(ON_HIDE)
    line = Path(Pen.SELVEDGE, ((0.0, 250.0), (600.0, 250.0)))
    assert numbers(ON_HIDE, replace(drawing, paths=(*drawing.paths, line))) == [614]


def test_a_flaw_that_the_piece_does_not_have_is_found():
    ring = ((900.0, 100.0), (950.0, 100.0), (950.0, 150.0))
    drawing = sheet(ON_REMNANT)
    more = replace(drawing, paths=(*drawing.paths, Path(Pen.FLAW, ring, closed=True)))
    assert numbers(ON_REMNANT, more) == [614]


def test_measured_widths_are_steps_of_the_edge_and_of_the_line_that_panels_may_reach():
    """By hand: 60 cm at the cut end, 55 cm at 50 cm; the narrower counts, so 55 cm all along."""
    remnant = replace(REMNANT, widths=((0, 60 * CM), (30 * CM, 58 * CM), (50 * CM, 55 * CM)))
    lay = replace(ON_REMNANT, cloth=CLOTH.on(remnant), piece=remnant)
    steps = [path.points for path in sheet(lay).paths if is_measured(path)]
    edge = ((0.0, 580.0), (300.0, 580.0), (300.0, 550.0), (1000.0, 550.0))
    assert steps == [edge, tuple((x, y - 15) for x, y in edge)]
    assert numbers(lay) == []
    without = with_paths(sheet(lay), lambda path: None if is_measured(path) else path)
    assert numbers(lay, without) == [613, 613]


def test_a_flaw_is_shown_as_far_as_the_length_to_buy():
    """By hand: 70 cm are bought of the roll, and the flaw reaches from 65 to 75 cm."""
    long = lays_on_pieces.spot(65, 100, 10, 5)
    beyond = lays_on_pieces.spot(70, 50, 10, 5)
    lay = replace(ON_ROLL, cloth=replace(CLOTH, flaws=(long, beyond)))
    (flaw,) = (path for path in sheet(lay).paths if path.pen is Pen.FLAW)
    assert {x for x, _ in flaw.points} == {650.0, 700.0}
    assert numbers(lay) == []


def test_every_flaw_says_what_it_is_and_no_label_is_like_it():
    odd = lays_on_pieces.spot(80, 20, 5, 5, what="oil / of a loom / 1.1")
    remnant = replace(REMNANT, flaws=(*REMNANT.flaws, odd))
    lay = replace(ON_REMNANT, cloth=CLOTH.on(remnant), piece=remnant)
    words = [text.content for text in sheet(lay).texts if text.pen is Pen.FLAW]
    assert words == ["flaw: oil", "flaw: oil, of a loom, 1.1", "splice"]
    on_roll = [text.content for text in sheet(ON_ROLL).texts if text.pen is Pen.FLAW]
    assert on_roll == ["flaw: hole", "minor flaw: slub"]
    assert numbers(lay) == []


@pytest.mark.parametrize("lay", [ON_REMNANT, ON_HIDE, ON_ROLL])
def test_a_knife_follows_nothing_of_the_cloth(lay):
    assert {path.pen for path in sheet(lay, Tool.KNIFE).paths} <= {*FOLLOWED}
    assert sheet(lay, Tool.KNIFE).texts == ()


def test_a_drawing_of_one_piece_is_not_taken_for_one_of_another():
    found = check_drawing(sheet(ON_REMNANT), CLOTH.on(HIDE), PANELS, HIDE, complete=False)
    assert {307, 604, 613} <= {one.number for one in found}
    found = check_drawing(sheet(ON_HIDE), CLOTH.on(REMNANT), PANELS, REMNANT, complete=False)
    assert 604 in {one.number for one in found}
