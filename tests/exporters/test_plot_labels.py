"""Texts of a plot in frames."""

import re

import pytest
import shapely
from worked_lays import mixed_lay

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.hpgl.writer import Plotter
from nesting.exporters.lay import lay_drawing
from nesting.exporters.plot_labels import text_box, with_texts_in_frames


def drawn_boxes(data):
    """The box around the strokes of each text, and the window of its frame, in units of 0.025 mm.

    A text is what is drawn between an SI with sizes and the next SI.
    """
    window, points = None, None
    for name, numbers in re.findall(rb"(IW|PU|PD|SI)([-0-9.,]*);", data):
        values = [float(number) for number in numbers.split(b",")] if numbers else []
        if name == b"IW":
            window = values
        elif name == b"SI" and values:
            points = []
        elif name == b"SI":
            xs, ys = zip(*points, strict=True)
            yield (min(xs), min(ys), max(xs), max(ys)), window
            points = None
        elif points is not None:
            points += zip(values[::2], values[1::2], strict=True)


@pytest.mark.parametrize("frame", [80.0, 137.0, 250.0, 400.0])
def test_every_label_stands_wholly_in_one_frame_and_in_its_panel(frame):
    plotter = Plotter(frame=frame)
    lay = lay_drawing(mixed_lay())
    drawing = with_texts_in_frames(lay, plotter)
    data = hpgl.write(drawing, plotter)
    boxes = list(drawn_boxes(data))
    assert len(boxes) == len(lay.texts)
    for (left, low, right, top), window in boxes:
        assert window[0] - 1 <= left
        assert right <= window[2] + 1
        assert window[1] <= low
        assert top <= window[3]
    cuts = [shapely.Polygon(path.points) for path in lay.paths if path.pen is Pen.CUT]
    for text, cut in zip(drawing.texts, cuts, strict=True):
        assert cut.contains(shapely.box(*text_box(text)))
    assert [t.content for t in drawing.texts] == [t.content for t in lay.texts]


def test_a_lay_in_one_frame_keeps_its_labels():
    drawing = lay_drawing(mixed_lay())
    assert with_texts_in_frames(drawing, Plotter()) is drawing


def test_a_label_moves_no_farther_than_the_edge_it_crosses():
    panel = Path(Pen.CUT, ((10.0, 10.0), (390.0, 10.0), (390.0, 90.0), (10.0, 90.0)), closed=True)
    # 10 letters of 10 mm: 85 mm wide, from 167.5 to 252.5, so 32.5 mm before the edge at 200
    label = Text(Pen.LABEL, (210.0, 50.0), 10.0, "ten places")
    sheet = Drawing("t", 400.0, 100.0, (panel,), (label,))
    (moved,) = with_texts_in_frames(sheet, Plotter(frame=200.0)).texts
    assert moved.at == pytest.approx((242.5, 50.0))
    assert (moved.height, moved.angle) == (10.0, 0.0)


def test_a_label_longer_than_a_frame_is_made_smaller_or_upright():
    panel = Path(Pen.CUT, ((0.0, 0.0), (400.0, 0.0), (400.0, 60.0), (0.0, 60.0)), closed=True)
    label = Text(Pen.LABEL, (200.0, 30.0), 12.0, "a name that is long / top / 1.1")
    sheet = Drawing("t", 400.0, 60.0, (panel,), (label,))
    data = hpgl.write(with_texts_in_frames(sheet, Plotter(frame=100.0)), Plotter(frame=100.0))
    ((box, window),) = drawn_boxes(data)
    assert window[0] <= box[0] < box[2] <= window[2]
    (read,) = hpgl_reader.read(data).texts
    assert 2.0 < read.height < 12.0


def test_the_true_width_of_a_label_fits_its_panel():
    lay = lay_drawing(mixed_lay())
    cuts = [shapely.Polygon(path.points) for path in lay.paths if path.pen is Pen.CUT]
    for (box, _), cut in zip(drawn_boxes(hpgl.write(lay)), cuts, strict=True):
        assert cut.contains(shapely.box(*(value / 40 for value in box)))


def test_what_a_flaw_is_stays_in_the_flaw():
    flaw = Path(Pen.FLAW, ((150.0, 10.0), (390.0, 10.0), (390.0, 90.0), (150.0, 90.0)), closed=True)
    panel = Path(Pen.CUT, ((0.0, 0.0), (149.0, 0.0), (149.0, 100.0), (0.0, 100.0)), closed=True)
    # 10 letters of 10 mm: 85 mm wide, from 162.5 to 247.5; before the edge at 200 it would
    # stand in the panel
    words = Text(Pen.FLAW, (205.0, 50.0), 10.0, "flaw: thin")
    sheet = Drawing("t", 400.0, 100.0, (flaw, panel), (words,))
    (moved,) = with_texts_in_frames(sheet, Plotter(frame=200.0)).texts
    assert moved.at == pytest.approx((242.5, 50.0))
    assert shapely.Polygon(flaw.points).contains(shapely.box(*text_box(moved)))
