import csv
import io
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked_lays import TWILL, mixed_lay, order_lay, rectangle

from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.exporters.marking.table import Separator, marking_out
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face


def _rows(units):
    text = marking_out(order_lay(mixed_lay()), units).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_there_is_one_row_for_every_panel_with_its_number():
    rows = _rows("cm")
    assert [row["number"] for row in rows] == ["1", "2", "3", "4", "5", "6"]
    assert {row["cloth"] for row in rows} == {"teal twill"}


def test_distances_are_those_of_the_lay_in_centimetres():
    # by hand: the cap lies from x = 2 cm and y = 1.5 + 65 cm and is 20 cm across
    (cap,) = [row for row in _rows("cm") if row["panel"] == "cap"]
    assert cap["from cut end, nearest (cm)"] == "2.00"
    assert cap["from cut end, farthest (cm)"] == "22.00"
    assert cap["from lower edge, nearest (cm)"] == "66.50"
    assert cap["from lower edge, farthest (cm)"] == "86.50"
    assert (cap["length (cm)"], cap["width (cm)"]) == ("20.00", "20.00")


def test_a_turned_panel_has_the_box_it_takes_on_the_cloth():
    (boxing,) = [row for row in _rows("mm") if row["panel"] == "boxing"]
    assert (boxing["turn (deg)"], boxing["length (mm)"], boxing["width (mm)"]) == (
        "90",
        "100.0",
        "640.0",
    )


def test_inches_are_fractions_in_sixteenths_between_which_the_panel_lies():
    # by hand: 66.5 cm = 26.181 in = 26 + 2.9/16 in; 86.5 cm = 34.055 in = 34 + 0.9/16 in;
    # 2 cm = 0.787 in = 12.6/16 in; 20 cm = 7.874 in = 7 + 13.98/16 in
    (cap,) = [row for row in _rows("in") if row["panel"] == "cap"]
    assert cap["from lower edge, nearest (in)"] == "26 1/8"
    assert cap["from lower edge, farthest (in)"] == "34 1/16"
    assert cap["from cut end, nearest (in)"] == "0 3/4"
    assert cap["length (in)"] == "7 7/8"


def test_names_with_commas_and_quotes_survive():
    lay = mixed_lay()
    odd = 'twill, "teal"\nÄ'
    renamed = replace(lay, cloth=replace(lay.cloth, name=odd))
    data = marking_out(order_lay(renamed), "cm")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert {row["cloth"] for row in rows} == {odd}


def test_face_down_every_row_says_so_and_measures_from_the_other_edge():
    # by hand: the cap's 66.5 and 86.5 cm from the lower edge of 140 cm become 53.5 and 73.5 cm
    data = marking_out(order_lay(), "cm", Face.DOWN)
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert {row["cloth lies"] for row in rows} == {FACE_DOWN}
    (cap,) = [row for row in rows if row["panel"] == "cap"]
    assert cap["from cut end, nearest (cm)"] == "2.00"
    assert cap["from lower edge, nearest (cm)"] == "53.50"
    assert cap["from lower edge, farthest (cm)"] == "73.50"
    (boxing,) = [row for row in rows if row["panel"] == "boxing"]
    assert boxing["turn (deg)"] == "270"


def test_face_up_every_row_says_so():
    assert {row["cloth lies"] for row in _rows("cm")} == {"face up"}


def test_a_spreadsheet_is_told_the_encoding_by_a_byte_order_mark():
    # Unicode 16.0, section 23.8 (M): EF BB BF is the signature of UTF-8
    data = marking_out(order_lay(), "cm")
    assert data.startswith(b"\xef\xbb\xbfcloth,")
    assert data.count(b"\xef\xbb\xbf") == 1


@pytest.mark.parametrize("name", ["=1+1", "+49 twill", "-5", "@SUM(A1)", " =1+1", "\t=1+1"])
def test_text_that_a_spreadsheet_would_calculate_begins_with_an_apostrophe(name):
    lay = mixed_lay()
    renamed = replace(lay, cloth=replace(lay.cloth, name=name))
    data = marking_out(order_lay(renamed), "cm")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert {row["cloth"] for row in rows} == {"'" + name}
    # numbers and harmless names stay as they are
    assert {row["item"] for row in rows} == {"cushion", "pouf"}
    assert float(rows[0]["length (cm)"]) > 0


def test_inches_have_a_decimal_number_beside_each_fraction():
    # by hand: 66.5 cm = 26.1811 in, 86.5 cm = 34.0551 in
    (cap,) = [row for row in _rows("in") if row["panel"] == "cap"]
    decimals = {key: value for key, value in cap.items() if key.endswith("(in, decimal)")}
    assert len(decimals) == 6
    assert float(decimals["from lower edge, nearest (in, decimal)"]) == pytest.approx(
        26.1811, abs=0.001
    )
    headings = list(cap)
    place = headings.index("length (in)")
    assert headings[place + 1] == "length (in, decimal)"
    assert not any("decimal" in heading for heading in _rows("cm")[0])


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
def test_a_semicolon_goes_with_decimal_commas_and_the_same_figures(units):
    data = marking_out(order_lay(), units, separator=Separator.SEMICOLON)
    stream = io.StringIO(data.decode("utf-8-sig"), newline="")
    rows = list(csv.DictReader(stream, delimiter=";"))
    plain = _rows(units)
    measures = [key for key in plain[0] if key.endswith(f"({units})") or "decimal" in key]
    for row, other in zip(rows, plain, strict=True):
        assert list(row) == list(other)
        for key in other:
            figure = key in measures
            assert row[key] == (other[key].replace(".", ",") if figure else other[key])
    if units != "in":
        assert all("," in row[key] for row in rows for key in measures)


def _number(text):
    return sum(map(Fraction, text.split()))


#: Millimetres in each unit, and headings in it.
TOLD = (("mm", 1, "mm"), ("cm", 10, "cm"), ("in", Fraction("25.4"), "in"),
        ("in", Fraction("25.4"), "in, decimal"))  # fmt: skip


@given(
    told=st.sampled_from(TOLD),
    at=st.tuples(st.integers(0, 900_000), st.integers(1_500, 60_000)),
    size=st.tuples(st.integers(5_000, 99_999), st.integers(5_000, 70_000)),
    face=st.sampled_from(Face),
)
def test_no_panel_is_told_smaller_than_it_is_cut_nor_beside_its_place(told, at, size, face):
    units, unit_mm, column = told
    panel = rectangle(*size, name="plate", item="cushion")
    placed = PlacedPanel(panel, 1, 1, 0, *at)
    lay = ClothLay(TWILL, (panel,), (placed,), 1, proved_optimal=False)
    data = marking_out(order_lay(lay), units, face)
    (row,) = csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""))

    def mm(measure):
        return _number(row[f"{measure} ({column})"]) * unit_mm

    low = at[1] if face is Face.UP else TWILL.width - at[1] - size[1]
    for which, near, extent, name in (
        ("cut end", at[0], size[0], "length"),
        ("lower edge", low, size[1], "width"),
    ):
        assert mm(f"from {which}, nearest") <= Fraction(near, 100)
        assert mm(f"from {which}, farthest") >= Fraction(near + extent, 100)
        assert Fraction(extent, 100) <= mm(name) < Fraction(extent, 100) + 2
