import csv
import io
from dataclasses import replace

from worked_lays import mixed_lay, order_lay

from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.exporters.marking.table import marking_out
from nesting.layouts.mirroring import Face


def _rows(units):
    text = marking_out(order_lay(mixed_lay()), units).decode("utf-8")
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
    assert (cap["length (cm)"], cap["height (cm)"]) == ("20.00", "20.00")


def test_a_turned_panel_has_the_box_it_takes_on_the_cloth():
    (boxing,) = [row for row in _rows("mm") if row["panel"] == "boxing"]
    assert (boxing["turn (deg)"], boxing["length (mm)"], boxing["height (mm)"]) == (
        "90",
        "100.0",
        "640.0",
    )


def test_inches_are_fractions_to_the_nearest_sixteenth():
    # by hand: 66.5 cm = 26.181 in = 26 + 2.9/16 in; 2 cm = 0.787 in = 12.6/16 in
    (cap,) = [row for row in _rows("in") if row["panel"] == "cap"]
    assert cap["from lower edge, nearest (in)"] == "26 3/16"
    assert cap["from cut end, nearest (in)"] == "0 13/16"


def test_names_with_commas_and_quotes_survive():
    lay = mixed_lay()
    odd = 'twill, "teal"\nÄ'
    renamed = replace(lay, cloth=replace(lay.cloth, name=odd))
    data = marking_out(order_lay(renamed), "cm")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))
    assert {row["cloth"] for row in rows} == {odd}


def test_face_down_every_row_says_so_and_measures_from_the_other_edge():
    # by hand: the cap's 66.5 and 86.5 cm from the lower edge of 140 cm become 53.5 and 73.5 cm
    data = marking_out(order_lay(), "cm", Face.DOWN)
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))
    assert {row["cloth lies"] for row in rows} == {FACE_DOWN}
    (cap,) = [row for row in rows if row["panel"] == "cap"]
    assert cap["from cut end, nearest (cm)"] == "2.00"
    assert cap["from lower edge, nearest (cm)"] == "53.50"
    assert cap["from lower edge, farthest (cm)"] == "73.50"
    (boxing,) = [row for row in rows if row["panel"] == "boxing"]
    assert boxing["turn (deg)"] == "270"


def test_face_up_every_row_says_so():
    assert {row["cloth lies"] for row in _rows("cm")} == {"face up"}
