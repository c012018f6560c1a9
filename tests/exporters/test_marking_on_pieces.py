"""Marking out on pieces of a cloth: a cutter sees where each piece is not sound."""

import csv
import io
from dataclasses import replace
from itertools import pairwise

import lays_on_pieces
import pypdf
import pytest
import shapely
import shapely.affinity
import vector_pages
from lays_on_pieces import CLOTH, HIDE, REMNANT, spot
from worked_lays import TWILL, mixed_lay, order_lay

from nesting.drawings.print.page import Words
from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.exporters.marking.labels import FreeCloth
from nesting.exporters.marking.pages import marking_pages
from nesting.exporters.marking.table import marking_out
from nesting.exporters.marking.unsound import hatching, unsound_places
from nesting.exporters.marking.wall_plan import wall_plan
from nesting.layouts.mirroring import Face
from nesting.units import CM

ON_REMNANT, ON_HIDE, ON_ROLL = lays_on_pieces.lays()


def pages(data):
    read = pypdf.PdfReader(io.BytesIO(data)).pages
    return [" ".join(page.extract_text().split()) for page in read]


def test_flaws_and_splices_are_told_by_their_distances():
    """By hand: the flaw lies from 70 to 75 cm and from 20 to 25 cm; the piece is 60 cm wide."""
    assert unsound_places(ON_REMNANT, "cm", Face.UP) == (
        "flaw 1 (oil): 70.0 to 75.0 cm from the cut end, 20.0 to 25.0 cm from the lower edge",
        "splice: 45.0 cm from the cut end; no panel lies across it",
        "width 55.0 cm: 0.0 to 100.0 cm from the cut end, as measured",
    )


def test_face_down_they_are_mirrored_and_a_narrowed_piece_is_measured_from_its_straight_edge():
    """By hand: from 60 - 25 = 35 to 60 - 20 = 40 cm."""
    straight, flaw, *_ = unsound_places(ON_REMNANT, "cm", Face.DOWN)
    assert straight.startswith(
        "the edge next to you is not straight: draw a line 60.0 cm from the other edge"
    )
    assert flaw.endswith("70.0 to 75.0 cm from the cut end, 35.0 to 40.0 cm from the lower edge")


def test_the_flaws_of_a_roll_come_in_their_order_and_minor_ones_say_who_may_have_them():
    hole, slub = unsound_places(ON_ROLL, "cm", Face.UP)
    assert hole.startswith("flaw 1 (hole): 10.0 to 15.0 cm")
    assert slub.startswith("flaw 2 (slub): 50.0 to 52.0 cm")
    assert slub.endswith("; minor: hidden panels may lie there")


def test_a_hide_is_measured_from_the_box_around_it():
    box, hole = unsound_places(ON_HIDE, "cm", Face.UP)
    assert box.startswith("this piece has an outline: measure from the sides of the box around it")
    assert "60.0 cm along and 50.0 cm across" in box
    assert hole == "hole: 40.0 to 45.0 cm from the cut end, 20.0 to 25.0 cm from the lower edge"


def test_no_flaw_is_told_smaller_than_it_is():
    """By hand: 10.04 to 15.06 cm."""
    odd = spot(10.04, 10.04, 5.02, 5.02)
    (text,) = unsound_places(replace(ON_ROLL, cloth=replace(CLOTH, flaws=(odd,))), "cm", Face.UP)
    assert text == "flaw 1: 10.0 to 15.1 cm from the cut end, 10.0 to 15.1 cm from the lower edge"


def test_sound_cloth_has_nothing_to_mark_around():
    assert unsound_places(mixed_lay(), "cm", Face.UP) == ()
    assert len(pages(marking_pages(order_lay(), "cm"))) == 2


@pytest.mark.parametrize("face", Face)
def test_the_pages_of_each_piece_show_what_to_mark_around_before_its_panels(face):
    found = pages(marking_pages(order_lay(*lays_on_pieces.lays()), "cm", face))
    assert [page.partition(" page")[0].partition("Stools: ")[2] or page[:40] for page in found]
    titles = [
        next(word for word in ("lay plan", "mark around", "panels 1 to") if word in page[:60])
        for page in found
    ]
    assert titles == ["lay plan", "mark around", "panels 1 to"] * 3
    for piece, three in zip(("remnant", "hide", "roll"), (0, 3, 6), strict=True):
        assert all(f"teal twill, {piece}, " in page for page in found[three : three + 3])
    across = "20.0 to 25.0 cm" if face is Face.UP else "35.0 to 40.0 cm"
    assert f"{across} from the lower edge" in found[1]
    assert all((FACE_DOWN in page) == (face is Face.DOWN) for page in found)


def test_a_piece_with_an_outline_is_not_squared_off():
    found = pages(marking_pages(order_lay(*lays_on_pieces.lays()), "cm"))
    assert "Square off the cut end" in found[0]
    assert "Square off the cut end" not in found[3]
    assert "Draw the box around the piece of cloth as in the picture" in found[3]


@pytest.mark.parametrize(
    ("lay", "words"),
    [
        (ON_REMNANT, ["lay plan for teal twill, remnant", "length of the piece 100.0 cm",
                      "least usable width 52.0 cm", "flaw 1 (oil): 70.0 to 75.0 cm", "splice"]),
        (ON_HIDE, ["lay plan for teal twill, hide", "length of the piece 60.0 cm", "hole: 40.0"]),
        (ON_ROLL, ["lay plan for teal twill, roll", "length to buy 70.0 cm", "flaw 2 (slub)",
                   "usable width 137.0 cm"]),
    ],
)  # fmt: skip
def test_the_wall_plan_tells_of_its_piece(lay, words):
    (text,) = pages(wall_plan(lay, "Stools", "cm"))
    assert [each for each in words if each not in text] == []


def test_the_list_of_a_wall_plan_has_only_panels_that_lie_on_its_piece():
    (text,) = pages(wall_plan(ON_HIDE, "Stools", "cm"))
    assert "stool / base: 1" in text
    assert "strap" not in text


def test_every_row_of_the_table_names_its_piece():
    data = marking_out(order_lay(*lays_on_pieces.lays(), mixed_lay(replace(TWILL, name="x"))), "cm")
    rows = [*csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""))]
    assert [(row["cloth"], row["piece"]) for row in rows[:6]] == [
        *[("teal twill", REMNANT.name)] * 2,
        ("teal twill", HIDE.name),
        *[("teal twill", "roll")] * 2,
        ("x", "roll"),
    ]


@pytest.mark.parametrize("apart", [0.3, 1.0, 50.0])
def test_hatching_lies_in_its_figure_as_far_apart_as_asked_with_one_line_at_least(apart):
    figure = shapely.Polygon([(0, 0), (20, 3), (14, 15), (3, 9)])
    strokes = [shapely.LineString(stroke) for stroke in hatching(figure, apart)]
    assert strokes
    assert all(figure.buffer(1e-9).covers(stroke) for stroke in strokes)
    sums = sorted({round(sum(stroke.coords[0]), 6) for stroke in strokes})
    steps = [b - a for a, b in pairwise(sums)]
    assert steps == pytest.approx([apart * 2**0.5] * len(steps), abs=2e-6)


@pytest.mark.parametrize("lay", [ON_REMNANT, ON_HIDE, ON_ROLL])
@pytest.mark.parametrize("face", Face)
def test_flaws_holes_and_edge_are_drawn_where_they_are_and_mirrored_face_down(lay, face):
    """Closed lines of the widths of an edge and of a flaw, as the file has them."""
    (page,) = vector_pages.pages(wall_plan(lay, "Stools", "cm", face))
    drawn = [*page.of(0.35), *page.of(0.2, grey=0.0)]
    rings = [shapely.Polygon(line.points) for line in drawn if line.closed]
    piece, height = lay.on, lay.on.width
    edge = piece.outline.points if piece.outline else body(lay)
    own = [edge, *(h.points for h in piece.holes), *(f.outline.points for f in piece.flaws)]
    wanted = [shapely.Polygon(points) for points in own]
    if face is Face.DOWN:
        wanted = [shapely.affinity.scale(each, 1, -1, origin=(0, height / 2)) for each in wanted]
    x0, y0, x1, _ = max(rings, key=lambda ring: ring.area).bounds
    left, low, right, _ = wanted[0].bounds
    scale = (right - left) / (x1 - x0)
    placed = [
        shapely.affinity.affine_transform(
            ring, (scale, 0, 0, scale, left - scale * x0, low - scale * y0)
        )
        for ring in rings
    ]
    for each in wanted:
        near = min(each.hausdorff_distance(ring) for ring in placed)
        assert near < CM / 10
    assert len(placed) == len(wanted)


def body(lay):
    """The remnant as it was measured, by hand, or the roll as it is bought."""
    length, width = (100 * CM, 55 * CM) if lay is ON_REMNANT else (70 * CM, 140 * CM)
    return (0, 0), (length, 0), (length, width), (0, width)


def test_hatching_reaches_all_over_its_figure():
    square = shapely.box(0, 0, 10 * CM, 4 * CM)
    near = shapely.union_all([shapely.LineString(s) for s in hatching(square, 100)]).buffer(101)
    assert near.covers(square)


def test_a_flaw_is_named_beside_it_and_not_hidden_where_there_is_no_room():
    row = shapely.box(0, 0, 100, 60)
    flaw = shapely.box(48, 28, 52, 32)
    marks = [*FreeCloth(row, [flaw]).beside_a_flaw("flaw 1", (50.0, 30.0))]
    (words,) = [mark for mark in marks if isinstance(mark, Words)]
    assert words.content == "flaw 1"
    assert not flaw.contains(shapely.Point(words.at))
    assert len(marks) == 3  # with a leader and its dot
    assert [*FreeCloth(row, [row]).beside_a_flaw("flaw 1", (50.0, 30.0))] == []
