"""`--tool` of `clothwright lay`, `panels` and `verify`."""

import io
import json
import re
from xml.etree import ElementTree as ET

import ezdxf
import oracles
import pytest

KNIFE_FORMATS = "dxf,dxf-r12,svg,plt"
FILES = ("grey-wool-2.dxf", "grey-wool-2.r12.dxf", "grey-wool-2.svg", "grey-wool-2.plt")

#: Four buttons in either plate of the seat.
TUFTED = 'buttons = "four"\nbutton_spacing = 12\n'


@pytest.fixture
def cut(clothwright, order):
    """The folder of a lay whose drawings are for a knife."""
    ended = clothwright(
        "lay", order, "--steps", 1, "--workers", 1, "--formats", KNIFE_FORMATS, "--tool", "knife"
    )
    assert ended.status == 0, ended.err
    return order.parent / "bench-lay"


def test_another_library_finds_only_what_a_knife_follows_in_dxf(cut):
    for name in FILES[:2]:
        space = ezdxf.read(io.StringIO((cut / name).read_text("ascii"))).modelspace()
        found = {entity.dxf.layer for entity in space}
        assert {"cut", "notch"} <= found <= {"cut", "notch", "inner-cut", "drill"}
        assert not space.query("TEXT")


def test_svg_has_only_what_a_knife_follows(cut):
    root = ET.parse(cut / "grey-wool-2.svg").getroot()
    groups = {g.get("class"): len(g) for g in root.iter("{http://www.w3.org/2000/svg}g")}
    filled = {name for name, count in groups.items() if count}
    assert {"cut", "notch"} <= filled <= {"cut", "notch", "inner-cut", "drill"}
    assert not list(root.iter("{http://www.w3.org/2000/svg}text"))


def test_a_plot_takes_only_the_pens_of_cuts_and_marks(cut):
    data = (cut / "grey-wool-2.plt").read_bytes()
    pens = {pen for pen, _ in oracles.hpgl_strokes(data)}
    assert {1, 4} <= pens <= {1, 4, 5, 8}
    assert b"LB" not in data


@pytest.mark.parametrize("name", FILES)
def test_a_knife_file_is_verified_as_one(clothwright, cut, order, name):
    ended = clothwright("verify", cut / name, "--order", order, "--tool", "knife")
    assert (ended.status, ended.err) == (0, "")
    assert ended.out.startswith("OK: 6 panels checked, no faults")


@pytest.mark.parametrize("name", FILES)
def test_verify_of_a_knife_file_without_the_option_says_so(clothwright, cut, order, name):
    ended = clothwright("verify", cut / name, "--order", order)
    assert ended.status == 2
    assert "--tool knife" in ended.err


def test_a_knife_file_that_lost_a_notch_or_gained_a_text_has_findings(clothwright, cut, order):
    path = cut / "grey-wool-2.svg"
    text = path.read_text("utf-8")
    lost = re.sub(r'(<g class="notch"[^>]*>\s*)<polyline[^>]*/>', r"\1", text, count=1)
    assert lost != text
    path.write_text(lost, "utf-8")
    ended = clothwright("verify", path, "--order", order, "--tool", "knife")
    assert (ended.status, ended.out[:4]) == (1, "606 ")
    stitched = re.sub(
        r'<g class="stitch"([^>]*) />',
        r'<g class="stitch"\1><polyline points="1,1 9,9"/></g>',
        text,
    )
    assert stitched != text
    path.write_text(stitched, "utf-8")
    ended = clothwright("verify", path, "--order", order, "--tool", "knife")
    assert (ended.status, ended.out[:4]) == (1, "620 ")


def test_a_pen_file_is_not_taken_for_a_knife_file(clothwright, order):
    assert clothwright("lay", order, "--steps", 1, "--workers", 1, "--formats", "dxf").status == 0
    path = order.parent / "bench-lay" / "grey-wool-2.dxf"
    ended = clothwright("verify", path, "--order", order, "--tool", "knife")
    assert ended.status == 1
    assert ended.out.count("620 ") >= 4  # stitch lines, grain, selvedge, labels


def test_a_drill_mark_is_a_point_for_a_punch_with_a_pen_of_its_own(clothwright, folder, order):
    order.write_text(order.read_text("utf-8") + TUFTED, "utf-8")
    options = ("--steps", 1, "--workers", 1, "--formats", KNIFE_FORMATS, "--tool", "knife")
    ended = clothwright("lay", order, *options)
    assert ended.status == 0, ended.err
    lay = folder / "bench-lay"
    counts = []
    for name in FILES[:2]:
        space = ezdxf.read(io.StringIO((lay / name).read_text("ascii"))).modelspace()
        marks = space.query('*[layer=="drill"]')
        assert {mark.dxftype() for mark in marks} == {"POINT"}
        counts.append(len(marks))
    root = ET.parse(lay / "grey-wool-2.svg").getroot()
    counts.append(len(list(root.iter("{http://www.w3.org/2000/svg}circle"))))
    dots = re.findall(rb"PU(\d+,\d+);PD\1;PU;", (lay / "grey-wool-2.plt").read_bytes())
    counts.append(len(dots))
    assert counts == [counts[0]] * 4
    assert counts[0] == 8
    for name in FILES:
        ended = clothwright("verify", lay / name, "--order", order, "--tool", "knife")
        assert ended.status == 0, ended.out
    pens = ("--plot-pens", "drill=0,label=1")
    assert clothwright("lay", order, *options, *pens).status == 0
    assert not re.findall(rb"PU(\d+,\d+);PD\1;PU;", (lay / "grey-wool-2.plt").read_bytes())
    ended = clothwright("verify", lay / FILES[3], "--order", order, "--tool", "knife", *pens)
    assert (ended.status, "not checked: drill" in ended.out) == (0, True)


def test_a_knife_file_shows_the_number_of_an_auto_strip(clothwright, order):
    text = order.read_text("utf-8").replace("length = 50", 'length = 50\nstrips = "auto"')
    order.write_text(text, "utf-8")
    options = ("--steps", 1, "--workers", 1, "--formats", "dxf", "--tool", "knife")
    ended = clothwright("lay", order, *options)
    assert ended.status == 0, ended.err
    path = order.parent / "bench-lay" / "grey-wool-2.dxf"
    ended = clothwright("verify", path, "--order", order, "--tool", "knife", "--json")
    assert json.loads(ended.out)["findings"] == []


def test_panels_are_drawn_for_a_knife(clothwright, order):
    ended = clothwright("panels", order, "--formats", "dxf,svg,plt", "--tool", "knife")
    assert ended.status == 0, ended.err
    data = (order.parent / "bench-panels" / "panels.plt").read_bytes()
    assert {pen for pen, _ in oracles.hpgl_strokes(data)} <= {1, 4, 5, 8}
    assert b"<text" not in (order.parent / "bench-panels" / "panels.svg").read_bytes()
    # pattern pieces are an exchange of data with layers of their own, whatever the tool
    assert b"TEXT" in (order.parent / "bench-panels" / "pieces.dxf").read_bytes()


@pytest.mark.parametrize("command", ["lay", "panels"])
def test_another_tool_is_refused(clothwright, order, command):
    ended = clothwright(command, order, "--formats", "plt", "--tool", "laser")
    assert ended.status == 2
    assert "--tool: must be pen or knife" in ended.err


@pytest.mark.parametrize(("command", "formats"), [("lay", "html,pdf"), ("panels", "dxf,pdf")])
@pytest.mark.parametrize("tool", ["pen", "knife"])
def test_a_tool_without_a_drawing_for_a_machine_is_refused(
    clothwright, order, command, formats, tool
):
    ended = clothwright(command, order, "--formats", formats, "--tool", tool)
    assert ended.status == 2
    assert "--tool: applies only to drawings for machines" in ended.err


def test_a_tool_for_a_layout_file_is_refused(clothwright, cut):
    ended = clothwright("verify", cut / "layout.json", "--tool", "knife")
    assert ended.status == 2
    assert "--tool" in ended.err
