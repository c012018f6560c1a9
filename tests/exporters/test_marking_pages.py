import io
import re
from dataclasses import replace

import pypdf
import pytest
from worked_lays import TWILL, mixed_lay, order_lay, rectangle

from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.exporters.marking.pages import marking_pages
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face
from nesting.units import CM


def _texts(lay=None, units="cm", face=Face.UP):
    data = marking_pages(lay or order_lay(), units, face)
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages]


def _figures(text):
    """The four distances of each row, from lines that hold nothing else."""
    numbers = re.findall(r"^\d+(?:\.\d)?$", text, re.MULTILINE)
    return [number for number in numbers if "." in number]


def test_distances_are_those_of_the_lay():
    # by hand: the cap lies from x = 2 cm, from y = 1.5 + 65 cm, and is 20 cm across
    _, listed = _texts()
    rows = _figures(listed)
    cap = rows[4 * 2 : 4 * 3]
    assert cap == ["2.0", "22.0", "66.5", "86.5"]
    assert len(rows) == 4 * 6


def test_face_down_distances_across_are_measured_from_the_other_edge_and_every_page_says_so():
    # by hand: 140 - 86.5 and 140 - 66.5 cm
    pages = _texts(face=Face.DOWN)
    assert _figures(pages[1])[4 * 2 : 4 * 3] == ["2.0", "22.0", "53.5", "73.5"]
    assert all(FACE_DOWN in page for page in pages)
    assert "printed side down" in pages[0].replace("\n", " ")


def test_face_up_no_page_speaks_of_the_wrong_side():
    assert not any("FACE DOWN" in page or "printed side down" in page for page in _texts())


def test_panels_come_in_the_order_of_marking_with_their_labels_and_turns():
    _, listed = _texts()
    labels = [line for line in listed.splitlines() if line.count(" / ") == 2]
    assert labels[1:] == [  # the first is the heading
        "cushion / plate / 1.1",
        "cushion / plate / 1.2",
        "pouf / cap / 1.1",
        "pouf / gore / 1.1",
        "pouf / gore / 1.2",
        "cushion / boxing / 1.1",
    ]
    assert listed.count("turned 180°") == 2
    assert "10.0 × 64.0 cm, turned 90°" in listed


def test_inches_come_as_a_tape_shows_them():
    # by hand: the cap lies from 66.5 cm = 26 2.9/16 in to 86.5 cm = 34 0.9/16 in across the cloth,
    # from 2 cm = 12.6/16 in along it
    _, listed = _texts(units="in")
    assert {"26 1/8", "34 1/16", "3/4"} <= set(listed.splitlines())
    assert "near (in)" in listed


def test_no_panel_is_told_smaller_than_it_is_cut_nor_its_box():
    # by hand: 200.01 mm by 300.04 mm, from (100.06, 150.04) to (300.07, 450.08) mm
    plate = rectangle(20_001, 30_004, name="plate", item="mat")
    placed = PlacedPanel(plate, 1, 1, 0, 10_006, 15_004)
    lay = order_lay(ClothLay(TWILL, (plate,), (placed,), CM, proved_optimal=False))
    _, listed = _texts(lay)
    assert "20.1 × 30.1 cm" in listed
    assert _figures(listed) == ["10.0", "30.1", "15.0", "45.1"]
    _, listed = _texts(lay, units="mm")
    assert "201 × 301 mm" in listed
    assert {"100", "301", "150", "451"} <= set(listed.splitlines())


def test_every_cloth_has_its_picture_and_pages_and_all_are_counted():
    lay = mixed_lay()
    other = replace(lay, cloth=replace(lay.cloth, name="canvas"))
    pages = _texts(order_lay(lay, other))
    assert len(pages) == 4
    assert "teal twill, lay plan" in pages[0]
    assert "canvas, panels 1 to 6" in pages[3]
    assert [f"page {i} of 4" in page for i, page in enumerate(pages, start=1)] == [True] * 4


def test_many_panels_run_over_as_many_pages_as_they_need_and_none_is_left_out():
    square = rectangle(30 * CM, 30 * CM, name="square", item="mat", per_item=40)
    placed = tuple(
        PlacedPanel(
            square, 1, 1 + i, 0, 2 * CM + 30 * CM * (i // 4), TWILL.selvedge + 30 * CM * (i % 4)
        )
        for i in range(40)
    )
    lay = order_lay(ClothLay(TWILL, (square,), placed, CM, proved_optimal=False))
    pages = _texts(lay)
    assert len(pages) > 3
    labels = re.findall(r"mat / square / 1\.\d+", "\n".join(pages[1:]))
    assert sorted(labels) == sorted(f"mat / square / 1.{i}" for i in range(1, 41))


@pytest.mark.parametrize("units", ["cm", "in"])
def test_equal_lays_give_equal_bytes(units):
    assert marking_pages(order_lay(), units) == marking_pages(order_lay(), units)


def test_the_page_with_the_picture_lies_on_its_side_where_the_picture_gets_larger_so():
    # by hand: 2.50 m by 1.40 m of cloth; two rows upright are less wide than the page
    square = rectangle(30 * CM, 30 * CM, name="square", item="mat", per_item=32)
    placed = tuple(
        PlacedPanel(
            square, 1, 1 + i, 0, 2 * CM + 30 * CM * (i // 4), TWILL.selvedge + 30 * CM * (i % 4)
        )
        for i in range(32)
    )
    lay = order_lay(ClothLay(TWILL, (square,), placed, 240 * CM, proved_optimal=False))
    picture, listed, *_ = pypdf.PdfReader(io.BytesIO(marking_pages(lay, "cm"))).pages
    assert picture.mediabox.width > picture.mediabox.height
    assert listed.mediabox.width < listed.mediabox.height
