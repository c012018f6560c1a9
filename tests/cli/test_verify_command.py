"""`clothwright verify`."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def laid(clothwright, two_cloths):
    """The folder of a finished lay on two cloths."""
    assert clothwright("lay", two_cloths, "--steps", "1", "--workers", "1").status == 0
    return two_cloths.parent / "two-lay"


def test_our_own_lay_has_no_findings(clothwright, laid):
    ended = clothwright("verify", laid / "layout.json")
    assert (ended.status, ended.err) == (0, "")
    # 2 plates and 4 strips of the seat, 2 panels of lining.
    told, whose_word = ended.out.splitlines()
    assert told == "OK: 8 panels checked, no faults"
    assert "only for what the file says of itself" in whose_word


def test_findings_are_numbered_and_end_with_1(clothwright, laid):
    record = json.loads((laid / "layout.json").read_text(encoding="utf-8"))
    record["cloths"][0]["placements"][0]["turn_deg"] = 180
    (laid / "layout.json").write_text(json.dumps(record), encoding="utf-8")
    ended = clothwright("verify", laid / "layout.json")
    assert ended.status == 1
    assert ended.out.startswith("401 Grey Wool 2: seat / plate / 1.1")


def test_json_has_the_findings(clothwright, laid):
    assert json.loads(clothwright("verify", laid / "layout.json", "--json").out) == {
        "panels": 8,
        "findings": [],
        "against_order": False,
    }
    record = json.loads((laid / "layout.json").read_text(encoding="utf-8"))
    del record["cloths"][1]["placements"][0]
    (laid / "layout.json").write_text(json.dumps(record), encoding="utf-8")
    ended = clothwright("verify", laid / "layout.json", "--json")
    assert (ended.status, ended.err) == (1, "")
    found = json.loads(ended.out)["findings"]
    assert {"number", "rule", "where", "detail"} == set(found[0])
    assert 101 in {each["number"] for each in found}


def test_a_drawing_is_checked_against_its_order(clothwright, laid, two_cloths):
    for name, panels in (("grey-wool-2", 6), ("lining", 2)):
        ended = clothwright("verify", laid / f"{name}.dxf", "--order", two_cloths)
        assert ended.status == 0
        assert ended.out == f"OK: {panels} panels checked, no faults\n"


def test_a_drawing_of_another_cloth_has_findings(clothwright, laid, two_cloths):
    ended = clothwright(
        "verify", laid / "lining.dxf", "--order", two_cloths, "--cloth", "Grey Wool 2"
    )
    assert ended.status == 1
    assert ended.out.splitlines()[0][:3].isdigit()


def test_a_drawing_needs_its_order(clothwright, laid):
    ended = clothwright("verify", laid / "lining.dxf")
    assert (ended.status, ended.out) == (2, "")
    assert "--order ORDER" in ended.err


def test_a_cloth_that_nothing_is_cut_from_is_refused(clothwright, laid, two_cloths):
    ended = clothwright("verify", laid / "lining.dxf", "--order", two_cloths, "--cloth", "silk")
    assert (ended.status, ended.out) == (2, "")
    assert '"Grey Wool 2", "lining"' in ended.err


@pytest.mark.parametrize("name", ["nowhere.json", "nowhere.dxf"])
def test_an_absent_file_ends_with_3(clothwright, order, name):
    more = ("--order", order) if name.endswith("dxf") else ()
    ended = clothwright("verify", name, *more)
    assert (ended.status, ended.out) == (3, "")
    assert name in ended.err


@pytest.mark.parametrize("text", ["not json", "[]", "{}", '{"schema": "other/1"}'])
def test_a_file_that_is_not_a_layout_ends_with_2(clothwright, folder, text):
    (folder / "layout.json").write_text(text)
    ended = clothwright("verify", "layout.json")
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("layout.json")


def test_a_file_that_is_not_a_drawing_ends_with_2(clothwright, order):
    (order.parent / "a.dxf").write_text("no drawing")
    ended = clothwright("verify", "a.dxf", "--order", order)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("a.dxf")


def test_every_kind_of_drawing_is_checked_against_its_order(clothwright, two_cloths):
    more = ("--formats", "dxf,dxf-r12,svg,plt", "--plot-frame", "30cm", "--quiet")
    assert clothwright("lay", two_cloths, "--steps", "1", "--workers", "1", *more).status == 0
    for ending in ("dxf", "r12.dxf", "svg", "plt"):
        for name, panels in (("grey-wool-2", 6), ("lining", 2)):
            file = two_cloths.parent / "two-lay" / f"{name}.{ending}"
            ended = clothwright("verify", file, "--order", two_cloths)
            assert (ended.status, ended.err) == (0, "")
            assert f"OK: {panels} panels checked, no faults" in ended.out
            assert ("within 0.018 mm" in ended.out) == (ending == "plt")


@pytest.mark.parametrize(
    ("ending", "found", "replacement"),
    [
        ("svg", b'polygon points="', b'polygon points="3,3 '),
        ("plt", b"PD", b"PD40,40,"),
        ("r12.dxf", b"\n858.0\n", b"\n861.0\n"),
    ],
)
def test_a_line_that_was_changed_is_found_in_every_kind_of_drawing(
    clothwright, order, ending, found, replacement
):
    more = ("--formats", "dxf-r12,svg,plt", "--quiet")
    assert clothwright("lay", order, "--steps", "1", "--workers", "1", *more).status == 0
    file = order.parent / "bench-lay" / f"grey-wool-2.{ending}"
    before, after = file.read_bytes().rsplit(found, 1)  # cut lines come last
    file.write_bytes(before + replacement + after)
    ended = clothwright("verify", file, "--order", order)
    assert ended.status == 1
    assert ended.out.splitlines()[0][:3].isdigit()


PENS = "stitch=4,notch=4,label=7,inner-cut=0,flaw=8"


@pytest.mark.parametrize("frame", [(), ("--plot-frame", "30cm")])
@pytest.mark.parametrize("pens", [None, PENS, "cut=2,stitch=1,drill=12"])
def test_a_plot_is_checked_with_the_pens_that_it_was_written_with(
    clothwright, two_cloths, pens, frame
):
    given = () if pens is None else ("--plot-pens", pens)
    more = ("--formats", "plt", "--quiet", *frame, *given)
    assert clothwright("lay", two_cloths, "--steps", "1", "--workers", "1", *more).status == 0
    file = two_cloths.parent / "two-lay" / "grey-wool-2.plt"
    ended = clothwright("verify", file, "--order", two_cloths, *given)
    assert (ended.status, ended.err) == (0, "")
    assert ended.out.startswith("OK: 6 panels checked, no faults")
    assert ("not drawn, so not checked: inner-cut" in ended.out) == (pens == PENS)
    swapped = clothwright("verify", file, "--order", two_cloths, "--plot-pens", "cut=3,grain=1")
    assert swapped.status == 1
    notches = re.compile(rb"(SP4;)\s*PU[^S]*?(?=PU;SP)")
    assert notches.search(file.read_bytes())
    file.write_bytes(notches.sub(rb"\1", file.read_bytes(), count=1))
    if pens != "cut=2,stitch=1,drill=12" and not frame:
        ended = clothwright("verify", file, "--order", two_cloths, *given)
        assert ended.status == 1
        assert ended.out.startswith("606 Grey Wool 2: seat")


@pytest.mark.parametrize(
    ("pens", "told"),
    [
        ("stitch=1", "cut must have a pen of its own"),
        ("grain=4", "grain must have a pen of its own"),
        ("flaw=2", "flaw must have a pen of its own"),
        ("cut=0", "cut must be drawn"),
        ("label=0", "label must be drawn"),
        ("ruler=1", '"ruler=1"'),
    ],
)
def test_pens_that_leave_a_plot_in_doubt_are_refused(clothwright, order, pens, told):
    more = ("--formats", "plt", "--quiet")
    assert clothwright("lay", order, "--steps", "1", "--workers", "1", *more).status == 0
    file = order.parent / "bench-lay" / "grey-wool-2.plt"
    ended = clothwright("verify", file, "--order", order, "--plot-pens", pens)
    assert (ended.status, ended.out) == (2, "")
    assert told in ended.err


@pytest.mark.parametrize("name", ["layout.json", "grey-wool-2.svg"])
def test_pens_apply_to_plots_only(clothwright, laid, two_cloths, name):
    more = () if name.endswith("json") else ("--order", two_cloths)
    ended = clothwright("verify", laid / name, *more, "--plot-pens", "cut=2")
    assert (ended.status, ended.out) == (2, "")
    assert "--plot-pens: applies only to a plot" in ended.err


OPEN = """
[[item]]
product = "box-cushion"
name = "stool"
quantity = 2
cloth = "Grey Wool 2"
length = 90
width = 40
thickness = 8
strips = "auto"
welt_cord = 0.5
"""

VERIFY = """
import sys
from cli.app import run

order, *files = sys.argv[1:]
assert [run(["verify", file, "--order", order]) for file in files] == [0] * len(files)
print(sorted({"nesting.packing", "numba", "ortools"} & set(sys.modules)))
"""


def test_a_drawing_is_checked_without_the_packer(clothwright, order, tmp_path_factory):
    """Even where the plan chose numbers, which the drawing alone shows, in any folder."""
    order.write_text(order.read_text(encoding="utf-8") + OPEN, encoding="utf-8")
    more = ("--formats", "dxf,dxf-r12,svg,plt", "--quiet")
    assert clothwright("lay", order, "--steps", "1", "--workers", "1", *more).status == 0
    elsewhere, files = tmp_path_factory.mktemp("machine"), []
    for ending in ("dxf", "r12.dxf", "svg", "plt"):
        drawing = order.parent / f"bench-lay/grey-wool-2.{ending}"
        files.append(drawing.rename(elsewhere / drawing.name))
    ended = subprocess.run(
        [sys.executable, "-c", VERIFY, order, *files],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    assert ended.stderr == ""
    *lines, loaded = ended.stdout.splitlines()
    assert len(lines) == len(files)
    assert all("no faults" in line for line in lines)
    assert loaded == "[]"


def test_json_states_how_far_the_format_may_be_off(clothwright, order):
    more = ("--formats", "plt", "--quiet")
    clothwright("lay", order, "--steps", "1", "--workers", "1", *more)
    ended = clothwright(
        "verify", order.parent / "bench-lay/grey-wool-2.plt", "--order", order, "--json"
    )
    # half of a unit of 0.025 mm in x and in y: 0.0125 times the square root of 2
    assert json.loads(ended.out)["within_mm"] == pytest.approx(0.01768, abs=1e-5)
