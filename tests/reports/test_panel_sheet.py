"""The panel sheet."""

from dataclasses import replace
from html.parser import HTMLParser

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
            self.paths.append(given.get("class"))
        self.sources += [given[name] for name in ("src", "href") if name in given]


def test_every_panel_is_named_counted_measured_and_drawn():
    page = Page(panel_sheet("Reading nook", "cm", (), PANELS, ()))
    for shown in ("plate: cut 2", "boxing: cut 1", "cap: cut 1", "gore: cut 2"):
        assert shown in page.text
    assert "42.0 cm along the roll, 32.0 cm across" in page.text
    assert "1.0 cm, included" in page.text
    assert "any way" in page.text  # the boxing's grain is free
    assert page.paths.count("cut") == len(PANELS)
    assert page.paths.count("stitch") == len(PANELS)
    assert page.paths.count("grain") == len(PANELS)


def test_a_slit_is_drawn_solid_because_it_is_cut_and_a_fold_dashed():
    panel = replace(PANELS[0], notches=(), stitch=None, lines=(((0, 500), (900, 500)),))
    drawn = shape(panel, 0, "a")
    assert (drawn.stitch, drawn.marks) == ("M0 -5l9 0", "")
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
