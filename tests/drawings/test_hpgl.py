"""HP-GL, read back by a reader of our own and by another library."""

import math
import re
from contextlib import suppress

import oracles
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from worked_lays import mixed_lay

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.hpgl import letters
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.hpgl.writer import OWN_PENS, Origin, Plotter
from nesting.drawings.panel_marks import grain_arrow
from nesting.errors import OrderError
from nesting.exporters.lay import lay_drawing
from nesting.exporters.plot_labels import with_texts_in_frames
from nesting.tolerances import PLOT_MM
from nesting.verification.plotted import check_file

TRIANGLE = Path(Pen.CUT, ((0.01, 20.0), (1600.33, 21.5), (800.17, 1380.99)), closed=True)
ARROW = Path(Pen.GRAIN, ((100.0, 200.0), (300.0, 200.0)))
NOTE = Text(Pen.LABEL, (700.0, 500.0), 12.0, "pouf / gore / 1.3", 90.0)
SHEET = Drawing("teal twill", 1700.0, 1400.0, (TRIANGLE, ARROW), (NOTE,))
LAY = lay_drawing(mixed_lay())


def near(points, abs_mm=PLOT_MM + 1e-9):
    return [pytest.approx(point, abs=abs_mm) for point in points]


def same_lines(read, meant, abs_mm=PLOT_MM + 1e-9):
    """Check that each path of one drawing is in the other; rings may begin anywhere."""
    assert len(read.paths) == len(meant.paths)
    left = list(read.paths)
    for path in meant.paths:
        kind = shapely.LinearRing if path.closed else shapely.LineString
        found = [
            other
            for other in left
            if (other.pen, other.closed, len(other.points))
            == (path.pen, path.closed, len(path.points))
            and shapely.hausdorff_distance(kind(other.points), kind(path.points))
            <= abs_mm * math.sqrt(2)
        ]
        assert found, path
        left.remove(found[0])


def test_a_drawing_read_back_is_the_same_to_half_a_plotter_unit():
    """A unit is 0.025 mm (a laser printer's HP-GL manual, chapter 9): half is 0.0125 mm."""
    read = hpgl_reader.read(hpgl.write(SHEET))
    assert [(p.pen, p.closed) for p in read.paths] == [(Pen.CUT, True), (Pen.GRAIN, False)]
    assert list(read.paths[0].points) == near(TRIANGLE.points)
    assert list(read.paths[1].points) == near(ARROW.points)
    assert (read.width, read.height) == (1700.0, 1400.0)
    assert read.within == pytest.approx(0.0125 * math.sqrt(2))
    (text,) = read.texts
    assert (text.content, text.at, text.angle) == (NOTE.content, NOTE.at, NOTE.angle)
    assert text.height == pytest.approx(12.0)


def test_another_library_draws_the_same_lines():
    drawn = oracles.hpgl_strokes(hpgl.write(LAY))
    strokes, letters = drawn[: len(LAY.paths)], drawn[len(LAY.paths) :]
    assert {pen for pen, _ in letters} == {OWN_PENS[Pen.LABEL]}
    cuts = [shapely.Polygon(path.points) for path in LAY.paths if path.pen is Pen.CUT]
    points = [shapely.Point(point) for _, stroke in letters for point in stroke]
    assert all(any(cut.contains(point) for cut in cuts) for point in points)
    meant = [(OWN_PENS[path.pen], path) for path in LAY.paths]
    assert [pen for pen, _ in strokes] == [pen for pen, _ in meant]
    for (_, points), (_, path) in zip(strokes, meant, strict=True):
        ring = (*path.points, path.points[0]) if path.closed else path.points
        assert points == near(ring)


def test_the_plot_begins_and_ends_as_plotters_expect():
    data = hpgl.write(SHEET).decode("ascii")
    assert data.startswith("IN;\n")
    assert data.endswith("PU;SP0;\n")
    assert data.isascii()


def test_no_blank_paper_is_fed_because_the_lay_begins_at_the_origin():
    strokes = oracles.hpgl_strokes(hpgl.write(LAY))
    xs = [x for _, points in strokes for x, _ in points]
    ys = [y for _, points in strokes for _, y in points]
    assert (min(xs), min(ys)) == (0, 0)


@pytest.mark.parametrize("frame", [100.0, 201.0, 333.33, 699.99, 700.0, 5000.0])
@pytest.mark.parametrize("origin", list(Origin))
def test_frames_of_any_length_fit_together(frame, origin):
    data = hpgl.write(LAY, Plotter(frame=frame, origin=origin))
    assert data.count(b"PG;") == max(0, math.ceil(700 / frame) - 1)  # 700 mm of cloth
    same_lines(hpgl_reader.read(data), LAY)


#: Pens that draw lines of the panels and nothing else; labels and selvedges share another.
LINES = {number: pen for pen, number in OWN_PENS.items() if pen.value not in (
    "label", "selvedge", "flaw"
)}  # fmt: skip


@pytest.mark.parametrize("frame", [201.0, 333.33, 700.0])
def test_frames_laid_end_to_end_draw_the_lay_for_a_reader_that_shares_no_code(frame):
    """1 plotter unit = 0.025 mm (chapter 9 of a laser printer's HP-GL manual, manualsonline)."""
    frames = oracles.hpgl_frames(hpgl.write(LAY, Plotter(frame=frame)))
    assert len(frames) == math.ceil(700 / frame)  # 700 mm of cloth
    for number, pen in LINES.items():
        found = [
            shapely.LineString([(i * frame + x * 0.025, y * 0.025) for x, y in points])
            for i, strokes in enumerate(frames)
            for used, points in strokes
            if used == number
        ]
        meant = [
            shapely.LineString((*path.points, path.points[0]) if path.closed else path.points)
            for path in LAY.paths
            if path.pen is pen
        ]
        assert bool(found) == bool(meant)
        if meant:
            drawn, whole = shapely.MultiLineString(found), shapely.MultiLineString(meant)
            # Half a unit either way, along and across, and as much for the end of a frame.
            assert shapely.hausdorff_distance(drawn, whole) <= 2 * 0.0125 * math.sqrt(2)
            assert drawn.length == pytest.approx(whole.length, rel=1e-4)


def test_a_line_across_an_edge_ends_and_begins_at_the_same_point():
    # A slanted line from (0, 0) to (300, 90) in frames of 200 mm: it is at y = 60 at x = 200.
    sheet = Drawing("t", 300.0, 100.0, (Path(Pen.CUT, ((0, 0), (300, 90))),), ())
    first, second = hpgl.write(sheet, Plotter(frame=200.0)).decode().split("PG;")
    assert "PU0,0;PD8000,2400;" in first
    assert "PU0,2400;PD4000,3600;" in second


@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("past", range(-3, 8))
@pytest.mark.parametrize("head_first", [False, True])
def test_a_grain_arrow_whose_tip_lies_at_the_end_of_a_frame_stays_one(way, past, head_first):
    """Shaft and head are divided at the same point if the tip is a unit or so past the edge."""
    tip = (750.0, 250.0)
    strokes = [Path(Pen.GRAIN, stroke) for stroke in grain_arrow((750.0 - way * 500, 250.0), tip)]
    sheet = Drawing("t", 2000.0, 500.0, tuple(strokes[::-1] if head_first else strokes), ())
    edge = 750.0 - way * past * 0.005
    same_lines(hpgl_reader.read(hpgl.write(sheet, Plotter(frame=edge))), sheet)


def test_every_coordinate_of_a_frame_lies_within_it():
    plotter = Plotter(frame=250.0)
    data = hpgl.write(with_texts_in_frames(LAY, plotter), plotter).decode("ascii")
    for frame in data.split("PG;"):
        numbers = [int(n) for pair in re.findall(r"P[UD]([-\d,]+)", frame) for n in pair.split(",")]
        assert min(numbers[::2]) >= 0
        assert max(numbers[::2]) <= 250 * 40
        assert min(numbers[1::2]) >= 0
        assert max(numbers[1::2]) <= 1400 * 40


def test_frames_and_an_origin_in_the_centre_keep_coordinates_within_sixteen_bits():
    data = hpgl.write(SHEET, Plotter(sixteen_bit=True, origin=Origin.CENTRE))
    numbers = [int(n) for n in re.findall(rb"(?<![.\d])-?\d+(?![.\d])", data)]
    assert max(map(abs, numbers)) <= 32767
    same_lines(hpgl_reader.read(data), SHEET)


def test_a_cloth_wider_than_sixteen_bits_allow_is_refused_with_a_remedy():
    with pytest.raises(OrderError, match=r"819\.175 mm.*origin in the centre"):
        hpgl.write(SHEET, Plotter(sixteen_bit=True))
    wide = Drawing("t", 100.0, 1700.0, (), ())
    with pytest.raises(OrderError, match=r"1638\.35 mm"):
        hpgl.write(wide, Plotter(sixteen_bit=True, origin=Origin.CENTRE))


def test_a_cloth_wider_than_the_plotter_is_refused():
    with pytest.raises(OrderError, match="no wider than the plotter, 1370 mm: 1400 mm"):
        hpgl.write(SHEET, Plotter(width=1370.0))


def test_pens_are_chosen_by_kind_of_line_and_zero_leaves_out_a_kind():
    pens = {**OWN_PENS, Pen.GRAIN: 0, Pen.LABEL: 1}
    data = hpgl.write(SHEET, Plotter(pens=pens))
    assert re.findall(rb"SP(\d)", data) == [b"1", b"0"]
    assert {pen for pen, _ in oracles.hpgl_strokes(data)} == {1}


def test_letters_outside_ascii_are_spelled_in_plain_ones():
    sheet = Drawing("t", 10.0, 10.0, (), (Text(Pen.LABEL, (1.0, 1.0), 2.0, "Größe\x03;"),))
    assert hpgl_reader.read(hpgl.write(sheet)).texts[0].content == "Groesse ;"


def test_two_panels_that_touch_at_the_edge_of_a_frame_stay_two():
    lower = Path(Pen.CUT, ((50, 0), (150, 0), (150, 50), (50, 50)), closed=True)
    upper = Path(Pen.CUT, ((50, 50), (150, 50), (150, 90), (50, 90)), closed=True)
    beside = Path(Pen.CUT, ((0, 0), (50, 0), (50, 90), (0, 90)), closed=True)
    sheet = Drawing("t", 200.0, 100.0, (lower, upper, beside), ())
    for frame in (50.0, 75.0, 100.0, 150.0):
        same_lines(hpgl_reader.read(hpgl.write(sheet, Plotter(frame=frame))), sheet)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 3000), st.integers(0, 900)), min_size=3, max_size=8, unique=True
    ),
    st.integers(37, 3100),
    st.booleans(),
)
def test_any_line_is_read_back_from_any_frames(points, frame, closed):
    path = Path(Pen.STITCH, tuple((x / 10, y / 10) for x, y in points), closed=closed)
    sheet = Drawing("t", 300.0, 90.0, (path,), ())
    read = hpgl_reader.read(hpgl.write(sheet, Plotter(frame=frame / 10)))
    kind = shapely.LinearRing if closed else shapely.LineString
    drawn = shapely.MultiLineString([kind(p.points) for p in read.paths])
    meant = kind(path.points)
    assert shapely.hausdorff_distance(drawn, meant) <= 0.025
    assert drawn.length == pytest.approx(meant.length, abs=0.2)


@pytest.mark.parametrize(
    "data",
    [
        b"%",
        b"IN;SC0,1,0,1;",
        b"IN;SP1;PU0,0;CI40;",
        b"IN;PU1;",
        b"IN;PG;",
        b"PA1..2,3;",
        b"PA9e9,1;",
    ],
)
def test_data_that_are_not_a_plot_of_straight_lines_in_plotter_units_are_refused(data):
    with pytest.raises(OrderError, match="HP-GL"):
        hpgl_reader.read(data)


def test_relative_moves_and_another_order_of_instructions_are_read():
    data = b"IN;SP1;PA100,100;PD;PR40,0,0,40;PU;PA0 0"
    (path,) = hpgl_reader.read(data).paths
    assert path.points == ((2.5, 2.5), (3.5, 2.5), (3.5, 3.5))


def test_every_pen_lies_within_eight_and_what_marks_the_cloth_has_one_of_its_own():
    """A plotter of eight pens takes 9 as another pen, perhaps as that of the cut."""
    assert set(OWN_PENS) == set(Pen)
    assert all(1 <= number <= 8 for number in OWN_PENS.values())
    for kind in (Pen.CUT, Pen.INNER_CUT, Pen.NOTCH, Pen.DRILL):
        assert list(OWN_PENS.values()).count(OWN_PENS[kind]) == 1


#: Labels are texts, and flaws are not drawn: the lines of their pen are selvedges.
TAKEN_AS = {Pen.LABEL: Pen.SELVEDGE, Pen.FLAW: Pen.SELVEDGE}


def test_reader_and_writer_agree_on_pens_without_sharing_code():
    strokes = [Path(pen, ((i, 0.0), (i, 1.0))) for i, pen in enumerate(Pen)]
    texts = [Text(pen, (i, 2.0), 2.0, pen.value) for i, pen in enumerate(Pen)]
    sheet = Drawing("t", 10.0, 10.0, tuple(strokes), tuple(texts))
    read = hpgl_reader.read(hpgl.write(sheet))
    assert [path.pen for path in read.paths] == [TAKEN_AS.get(pen, pen) for pen in Pen]
    shared = {Pen.LABEL, Pen.SELVEDGE, Pen.FLAW}
    taken = {text.content: text.pen for text in read.texts}
    assert taken == {pen: Pen.LABEL if pen in shared else pen for pen in Pen}
    assert (read.alike, read.left_out) == ((frozenset(shared),), frozenset())


def test_the_reader_is_told_other_pens():
    pens = {**OWN_PENS, Pen.CUT: 3, Pen.GRAIN: 1, Pen.NOTCH: 2, Pen.STITCH: 2, Pen.DRILL: 0}
    strokes = [Path(pen, ((i, 0.0), (i, 1.0))) for i, pen in enumerate(Pen)]
    sheet = Drawing("t", 10.0, 10.0, tuple(strokes), ())
    read = hpgl_reader.read(hpgl.write(sheet, Plotter(pens=pens)), pens)
    seen = {path.points[0][0]: path.pen for path in read.paths}
    kinds = list(Pen)
    assert seen[kinds.index(Pen.CUT)] is Pen.CUT
    assert seen[kinds.index(Pen.GRAIN)] is Pen.GRAIN
    assert seen[kinds.index(Pen.NOTCH)] is seen[kinds.index(Pen.STITCH)] is Pen.STITCH
    assert kinds.index(Pen.DRILL) not in seen
    assert frozenset({Pen.STITCH, Pen.NOTCH}) in read.alike
    assert read.left_out == {Pen.DRILL}


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 255), st.booleans())
def test_a_damaged_plot_is_either_read_or_refused(place, byte, cut_off):
    data = bytearray(hpgl.write(SHEET, Plotter(frame=600.0)))
    place %= len(data)
    data[place] = byte
    with suppress(OrderError):
        read = hpgl_reader.read(bytes(data[:place] if cut_off else data))
        assert all(math.isfinite(x + y) for path in read.paths for x, y in path.points)


@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize("height", [1.0, 2.37, 12.0])
def test_every_letter_is_read_back_from_its_strokes(height, angle):
    """The letters of ASCII are those from 32 to 126; a text that ends in a blank loses it."""
    words = "".join(map(chr, range(32, 127))).strip()
    text = Text(Pen.LABEL, (512.34, 498.76), height, words, angle)
    (read,) = hpgl_reader.read(hpgl.write(Drawing("t", 1000.0, 1000.0, (), (text,)))).texts
    assert (read.content, read.angle) == (words, angle)
    assert read.at == pytest.approx(text.at, abs=0.02)
    assert read.height == pytest.approx(height, abs=0.001)


def test_every_letter_of_ascii_has_strokes_of_its_own_within_its_cell():
    assert set(letters.STROKES) == set(map(chr, range(32, 127)))
    assert len({frozenset(strokes) for strokes in letters.STROKES.values()}) == 95
    points = {p for strokes in letters.STROKES.values() for stroke in strokes for p in stroke}
    assert {x for x, _ in points} == {0, 1, 2, 3, 4}
    assert {y for _, y in points} == {-2, -1, 0, 1, 2, 3, 4, 5, 6}


def test_letters_of_the_device_are_refused_because_their_size_is_unknown():
    data = hpgl.write(SHEET).replace(b"PU;SP0;", b"PU4,4;LBpouf\x03;PU;SP0;")
    with pytest.raises(OrderError, match="the device decides how large"):
        hpgl_reader.read(data)


@given(
    st.tuples(st.floats(100, 900), st.floats(100, 900)), st.floats(2, 12), st.integers(1, 60),
    st.sampled_from((0.0, 45.0, 90.0, 122.5)),
)  # fmt: skip
@example(at=(500.0125, 500.0125), height=12.0, count=60, angle=45.0)
@settings(deadline=None, max_examples=150)
def test_a_text_of_any_height_and_length_is_proved_to_stand_where_it_was_meant(
    at, height, count, angle
):
    """The middle follows from the first point, the stated height and the number of letters."""
    sheet = Drawing("t", 1000.0, 1000.0, (), (Text(Pen.LABEL, at, height, "n" * count, angle),))
    assert check_file(hpgl_reader.read(hpgl.write(sheet)), sheet) == ()
