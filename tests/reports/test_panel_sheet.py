"""The panel sheet."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import accumulate

import pytest
import shapely
import worked_lays

from nesting.reports.panel_sheet import panel_sheet
from nesting.reports.shapes import shape

PANELS = worked_lays.mixed_lay().panels


class Page(HTMLParser):
    """What the sheet says and draws."""

    def __init__(self, data):
        super().__init__()
        self.text, self.paths, self.sources = "", [], []
        self.feed(data.decode())

    def handle_data(self, data):
        self.text += data

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if tag == "path":
            self.paths.append((given.get("class"), given["d"]))
        self.sources += [given[name] for name in ("src", "href") if name in given]


def runs(data):
    """Runs of points of path data that steps from point to point, y upward, in millimetres."""
    found = []
    for start, steps in re.findall(r"M([^l]+)l([^Mz]+)z?", data):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", f"{start} {steps}")]
        pairs = zip(numbers[::2], numbers[1::2], strict=True)
        points = accumulate(pairs, lambda a, b: (a[0] + b[0], a[1] + b[1]))
        found.append([(x, -y) for x, y in points])
    return found


def drawn(page, kind):
    """The runs of each path of a kind."""
    return [runs(data) for each, data in page.paths if each == kind]


def test_every_panel_is_named_counted_measured_and_drawn():
    page = Page(panel_sheet("Reading nook", "cm", (), PANELS, ()))
    for shown in ("plate: cut 2", "boxing: cut 1", "cap: cut 1", "gore: cut 2"):
        assert shown in page.text
    assert "42.0 cm along the roll, 32.0 cm across" in page.text
    assert "1.0 cm, included" in page.text
    assert "any way" in page.text  # the boxing's grain is free
    for kind, outlines in (
        ("cut", [panel.cut for panel in PANELS]),
        ("stitch", [panel.stitch for panel in PANELS]),
    ):
        found = drawn(page, kind)
        assert len(found) == len(PANELS)
        for (ring,), outline in zip(found, outlines, strict=True):
            meant = shapely.Polygon([(x / 100, y / 100) for x, y in outline.points])
            # Coordinates have one decimal: 0.05 mm either way.
            apart = shapely.hausdorff_distance(shapely.Polygon(ring).exterior, meant.exterior)
            assert apart <= 0.0501 * 2**0.5
    for (shaft, *head), panel in zip(drawn(page, "grain"), PANELS, strict=True):
        tail, tip = (pytest.approx((x / 100, y / 100), abs=0.051) for x, y in panel.grain)
        assert [shaft[0], shaft[-1]] == [tail, tip]
        assert all(tip in stroke for stroke in head)
        assert head


def test_notches_and_drill_marks_are_drawn_where_they_lie():
    """By hand, in the fixture: the plate has notches 7 mm deep at 210 mm, from 0 and from 320."""
    page = Page(panel_sheet("Reading nook", "cm", (), PANELS[:1], ()))
    (marks,) = drawn(page, "marks")
    assert sorted(marks) == [
        [pytest.approx((210, 0)), pytest.approx((210, 7))],
        [pytest.approx((210, 320)), pytest.approx((210, 313))],
    ]


def test_cautions_for_a_machine_stand_where_there_are_any():
    warned = Page(panel_sheet("Nook", "cm", (), PANELS[:1], (), ("Keep hands clear.",)))
    assert "At the cutting machine" in warned.text
    assert "Keep hands clear." in warned.text
    assert "cutting machine" not in Page(panel_sheet("Nook", "cm", (), PANELS[:1], ())).text


def test_a_slit_is_drawn_solid_because_it_is_cut_and_a_fold_dashed():
    panel = replace(PANELS[0], notches=(), stitch=None, lines=(((0, 500), (900, 500)),))
    fold = shape(panel, 0, "a")
    assert (fold.stitch, fold.marks) == ("M0 -5l9 0", "")
    cut = shape(replace(panel, lines=(), inner_cuts=panel.lines), 0, "a")
    assert (cut.stitch, cut.marks) == ("", "M0 -5l9 0")


def test_the_sheet_loads_nothing_and_prints_each_caution_once():
    page = Page(panel_sheet("a <b>", "in", (), PANELS, ("Beads suffocate.", "Beads suffocate.")))
    assert page.sources == []
    assert page.text.count("Beads suffocate.") == 1
    assert "a <b>" in page.text


def test_no_panel_is_told_smaller_than_it_is_cut():
    plate = worked_lays.rectangle(20_001, 30_004, name="plate", item="mat")
    page = Page(panel_sheet("mats", "cm", (), (plate,), ()))
    assert "20.1 cm along the roll, 30.1 cm across" in page.text
