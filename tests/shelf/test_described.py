"""Pieces described in words, one by one or in a table."""

from pathlib import Path

import pytest
import shapely

from nesting.cloth.stock import Flaw
from nesting.errors import AccessError, OrderError
from nesting.geometry.outline import Outline
from nesting.shelf.described import Description
from nesting.shelf.journal import today
from nesting.shelf.list_file import read_list
from nesting.shelf.piece import Piece
from nesting.tolerances import CHORD_MM

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{0}mm" viewBox="0 0 {0} {0}">'
    "{1}</svg>"
)
HIDE = '<path d="M10 10 H310 V160 L110 210 H10 Z"/>'
HOLE = '<rect x="60" y="60" width="20" height="30"/>'


def described(folder=Path(), unit="cm", **said):
    found = Description(said, unit, lambda key: f"--{key}", folder)
    return found.piece(), [str(fault) for fault in found.faults]


def draw(folder, *shapes, name="hide.svg"):
    (folder / name).write_text(SVG.format(400, "".join(shapes)))
    return name


LINEN = {"cloth": "linen", "length": "12 m", "width": "140"}


def test_everything_that_can_be_said_is_understood():
    said = {**LINEN, "selvedge": "1.5", "shade": "B7", "place": "rack 2", "price": "144.5",
            "currency": "EUR", "since": "2026-11-30"}  # fmt: skip
    piece, faults = described(**said, flaw="120 cm, 30, 4 cm, 60 mm; 0, 0, 1, 1")
    assert faults == []
    ring = ((12000, 3000), (12400, 3000), (12400, 3600), (12000, 3600))
    assert piece.flaws == (Flaw(Outline(tuple((x * 10, y * 10) for x, y in ring))), piece.flaws[1])
    assert piece == Piece(
        "linen", 1_200_000, 140_000, 1500, None, (), piece.flaws, "B7", "rack 2", 14450, "EUR",
        "2026-11-30",
    )  # fmt: skip


def test_a_number_without_a_unit_is_in_that_of_the_command():
    piece, _ = described(unit="in", cloth="linen", length="100", width="54 1/2 in")
    assert (piece.length, piece.width) == (254_000, 138_430)
    assert piece.since == today()
    assert (piece.price, piece.currency, piece.selvedge) == (None, None, None)


@pytest.mark.parametrize(
    ("said", "faults"),
    [
        ({}, ["--cloth: is missing", "--length: is missing", "--width: is missing"]),
        ({**LINEN, "cloth": "a\tb"}, ["--cloth: must have only characters that can be seen"]),
        ({**LINEN, "length": "0"}, ["--length: must be longer than nothing"]),
        ({**LINEN, "length": "twelve"}, ["--length: cannot be read as a length"]),
        ({**LINEN, "width": "14 m"}, ["--width: must not be more than 10 m"]),
        (
            {**LINEN, "selvedge": "70"},
            ["--selvedge: must leave some cloth between both edges of a piece 140.0 cm wide"],
        ),
        ({**LINEN, "price": "3.005", "currency": "EUR"}, ["--price: must be an amount"]),
        ({**LINEN, "price": "-1", "currency": "EUR"}, ["--price: must be an amount"]),
        ({**LINEN, "price": "nan", "currency": "EUR"}, ["--price: must be an amount"]),
        ({**LINEN, "price": "3"}, ["--currency: is missing beside a price"]),
        ({**LINEN, "price": "3", "currency": "euro"}, ["--currency: must be three capital"]),
        ({**LINEN, "flaw": "1, 2, 3"}, ["--flaw: must be four lengths"]),
        ({**LINEN, "flaw": "1, 2, 3, 0"}, ["--flaw: must have a length and a width"]),
        ({**LINEN, "flaw": "1, 138, 3, 3"}, ["--flaw: must lie on the piece"]),
        ({**LINEN, "since": "yesterday"}, ["--since: must be a day"]),
        ({**LINEN, "outline": "none.svg"}, ["--outline none.svg, the drawing: must be a file"]),
    ],
)
def test_each_fault_is_told_once_and_all_together(said, faults):
    piece, found = described(**said)
    assert piece is None
    assert len(found) == len(faults)
    for text, fault in zip(faults, found, strict=True):
        assert fault.startswith(text)


def test_a_drawing_gives_the_edge_and_the_holes(tmp_path):
    piece, faults = described(tmp_path, cloth="kid", outline=draw(tmp_path, HIDE, HOLE))
    assert faults == []
    assert (piece.length, piece.width) == (30_000, 20_000)
    edge = shapely.Polygon(piece.outline.points)
    # 300 x 150 mm, and a trapezoid 50 mm high between 300 and 100 mm
    assert edge.area == 30_000 * 15_000 + 5_000 * (30_000 + 10_000) / 2
    assert edge.bounds == (0, 0, 30_000, 20_000)
    (hole,) = piece.holes
    # y of SVG runs down: the hole begins 50 mm below the upper edge, which is 200 mm up
    assert shapely.Polygon(hole.points).bounds == (5_000, 12_000, 7_000, 15_000)


@pytest.mark.parametrize(
    ("shapes", "fault"),
    [
        ([], "must have a closed line"),
        (['<path d="M10 10 H310 V160"/>'], "must be closed"),
        (['<path d="M10 10 H310 V160 H100 V0 H60 V200 Z"/>'], "must not cross or touch itself"),
        ([HIDE, '<rect x="300" y="20" width="30" height="30"/>'], "must lie wholly inside"),
        ([HIDE, '<rect x="330" y="20" width="30" height="30"/>'], "must lie wholly inside"),
        ([HIDE, HOLE, '<rect x="70" y="70" width="30" height="30"/>'], "must not touch another"),
    ],
)
def test_a_drawing_that_is_no_piece_of_cloth_is_refused(tmp_path, shapes, fault):
    piece, found = described(tmp_path, cloth="kid", outline=draw(tmp_path, *shapes))
    assert piece is None
    assert found
    assert all(fault in each for each in found)


def test_an_outline_has_its_own_size(tmp_path):
    piece, found = described(tmp_path, **LINEN, outline=draw(tmp_path, HIDE))
    assert piece is None
    assert [each.partition(":")[0] for each in found] == ["--length", "--width"]


def test_a_drawing_in_dxf_may_need_its_unit(tmp_path):
    import ezdxf

    document = ezdxf.new(units=0)
    corners = [(5, 5), (35, 5), (35, 20), (15, 25), (5, 20)]
    document.modelspace().add_lwpolyline(corners, close=True)
    document.modelspace().add_circle((20, 12), 3)
    document.saveas(tmp_path / "hide.dxf")
    _, (fault,) = described(tmp_path, cloth="kid", outline="hide.dxf")
    assert "how long one unit is" in fault
    assert "add --drawing-unit mm" in fault
    said = {"cloth": "kid", "outline": "hide.dxf", "drawing-unit": "cm"}
    piece, faults = described(tmp_path, **said)
    assert faults == []
    assert (piece.length, piece.width) == (30_000, 20_000)
    (hole,) = piece.holes
    # the chords of a circle lie within it by no more than `CHORD_MM`
    assert hole.bounds == pytest.approx((12_000, 4_000, 18_000, 10_000), abs=100 * CHORD_MM)
    for wrong in ({**said, "drawing-unit": "ell"}, {**LINEN, "drawing-unit": "cm"}):
        _, (fault,) = described(tmp_path, **wrong)
        assert fault.startswith("--drawing-unit: ")


@pytest.fixture
def listed(tmp_path):
    def write(text, encoding="utf-8"):
        path = tmp_path / "pieces.csv"
        path.write_bytes(text.encode(encoding))
        return path

    return write


def test_a_table_has_a_piece_in_each_row(listed):
    path = listed('Length,cloth,width,shade\n12 m,linen,140,\n80,"felt, grey",90,7\n\n,,,\n')
    first, second = read_list(path, "cm")
    assert (first.cloth, first.length, first.shade) == ("linen", 1_200_000, "")
    assert (second.cloth, second.length, second.shade) == ("felt, grey", 80_000, "7")


def test_with_semicolons_decimals_may_have_commas(listed):
    path = listed(
        "\ufeffcloth;length;width;price;currency;flaw\r\nLeinen;80,5;90;12,50;EUR;1, 2, 3, 4\r\n"
    )
    (piece,) = read_list(path, "cm")
    assert (piece.length, piece.price, len(piece.flaws)) == (80_500, 1250, 1)


def test_drawings_of_a_table_are_found_beside_it(listed, tmp_path):
    draw(tmp_path, HIDE)
    (piece,) = read_list(listed("cloth,outline\nkid,hide.svg\n"), "cm")
    assert piece.length == 30_000


def test_all_faults_of_all_rows_are_told_with_their_lines(listed):
    path = listed("cloth,length,width\nlinen,12 m,140\n,x,140\nfelt,5 cm\nfelt,1,0\n")
    with pytest.raises(OrderError) as caught:
        read_list(path, "cm")
    told = [(fault.line, fault.place) for fault in caught.value.faults]
    assert told == [(3, "cloth"), (3, "length"), (4, "row"), (5, "width")]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "must name the column cloth"),
        ("cloth,length,width\n", "must have a row for each piece"),
        ("cloth,lenght,width\nlinen,1,1\n", 'unknown column: "lenght".*did you mean "length"'),
        ("cloth,length,length\nlinen,1,1\n", 'a column twice: "length"'),
        ("length,width\n1,1\n", "must name the column cloth"),
        ('cloth,length,width\n"linen,1,1\n', "quotation mark"),
        ("cloth,length,width\n" + ",1,1\n" * 60, "has 10 more faults"),
    ],
)
def test_a_table_of_another_form_is_refused(listed, text, fault):
    with pytest.raises(OrderError, match=fault):
        read_list(listed(text), "cm")


def test_a_table_in_other_letters_or_of_no_file_is_told(listed, tmp_path):
    with pytest.raises(OrderError, match="UTF-8"):
        read_list(listed("cloth\nFrühling\n", "latin-1"), "cm")
    with pytest.raises(AccessError, match="cannot be read"):
        read_list(tmp_path / "none.csv", "cm")
