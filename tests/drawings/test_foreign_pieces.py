"""Pattern pieces that were not written here, typed by hand from what is known of ASTM D6673.

From published extracts (standards.iteh.ai; scribd 598343766; 123docz): a block for each
piece, cut-outs that are cut, internal lines that are not, sew lines, DXF of release 13 or
earlier. From memory: the layer numbers, the keys of the texts, METRIC and ENGLISH. So this
says that we read what is described there, not that any pattern system is understood.
"""

import io

import ezdxf
import pytest
import shapely

from nesting.drawings.pieces.reader import holds_pieces, read

IN = 25.4


def tags(*pairs):
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def text(layer, words):
    return tags((0, "TEXT"), (8, layer), (10, 0), (20, 0), (40, 0.5), (1, words))


def line(layer, x0, y0, x1, y1):
    return tags((0, "LINE"), (8, layer), (10, x0), (20, y0), (11, x1), (21, y1))


def point(layer, x, y):
    return tags((0, "POINT"), (8, layer), (10, x), (20, y))


def polyline(layer, points, closed):
    head = tags((0, "POLYLINE"), (8, layer), (66, 1), (70, int(closed)))
    vertices = (tags((0, "VERTEX"), (8, layer), (10, x), (20, y)) for x, y in points)
    return head + "".join(vertices) + tags((0, "SEQEND"), (8, layer))


def block(name, *entities):
    begin = tags((0, "BLOCK"), (8, 1), (2, name), (70, 0), (10, 0), (20, 0), (3, name))
    return begin + "".join(entities) + tags((0, "ENDBLK"), (8, 1))


#: A plate for foam of 11 × 15 in, cut 12 × 16 in (ehow.co.uk 5112747), in inches and placed away
#: from the origin; its boundary in single lines, clockwise, as other hands may draw it.
PLATE = block(
    "PLATE-M",
    text(1, "Piece Name: PLATE"),
    text(1, "Size: M"),
    text(1, "Quantity: 2"),
    text(1, "Material: SHELL"),
    line(1, 20, 5, 20, 17),
    line(1, 20, 17, 36, 17),
    line(1, 36, 17, 36, 5),
    line(1, 36, 5, 20, 5),
    point(2, 20, 5),  # turn points
    point(2, 36, 17),
    point(5, 20, 5),  # a grade reference
    polyline(14, [(20.5, 5.5), (35.5, 5.5), (35.5, 16.5), (20.5, 16.5)], True),
    line(7, 22, 11, 34, 11),
    line(4, 28, 5, 28, 5.375),  # a notch as a line, 3/8 in deep
    line(80, 28, 17, 28, 16.625),  # and of a special kind
    point(13, 28, 12),
    line(8, 24, 6, 24, 16),
    polyline(11, [(30, 8), (32, 8), (32, 9), (30, 9)], True),
    line(9, 20, 7, 36, 7),  # a stripe line
    text(15, "CENTRE ON THE MOTIF"),
)

#: Half of a strip, folded at its mirror line, without a quantity.
STRIP = block(
    "STRIP-M",
    text(1, "Piece Name: STRIP"),
    polyline(1, [(0, 0), (24, 0), (24, 2), (0, 2)], True),
    line(6, 0, 2, 24, 2),
    line(7, 4, 1, 20, 1),
)


def document(*blocks, units="ENGLISH"):
    space = text(1, "Style Name: 1234") + text(1, "Sample Size: M") + text(1, f"Units: {units}")
    dxf = (
        tags((0, "SECTION"), (2, "BLOCKS"))
        + "".join(blocks)
        + tags((0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES"))
        + space
        + tags((0, "INSERT"), (8, 1), (2, "PLATE-M"), (10, 0), (20, 0))
        + tags((0, "ENDSEC"), (0, "EOF"))
    )
    return ezdxf.read(io.StringIO(dxf))


def area(ring):
    return shapely.Polygon(ring).area / IN**2


def near(points):
    return [pytest.approx((x * IN, y * IN)) for x, y in points]


def test_a_plate_in_inches_is_read_with_everything_that_is_cut_or_marked():
    opened = document(PLATE, STRIP)
    assert holds_pieces(opened)
    plate, _ = read(opened, None)
    assert (plate.name, plate.quantity) == ("PLATE", 2)
    assert shapely.Polygon(plate.boundary).bounds == pytest.approx((508, 127, 914.4, 431.8))
    assert area(plate.boundary) == pytest.approx(12 * 16)
    assert area(plate.sew) == pytest.approx(11 * 15)
    assert list(plate.grain) == near([(22, 11), (34, 11)])
    (lower, upper) = sorted(plate.notches)
    assert list(lower) == near([(28, 5), (28, 5.375)])
    assert list(upper) == near([(28, 17), (28, 16.625)])
    assert list(plate.drills) == near([(28, 12)])
    assert [list(run) for run in plate.internal] == [near([(24, 6), (24, 16)])]
    (cut_out,) = plate.inner_cuts
    assert cut_out[0] == cut_out[-1]
    assert area(cut_out) == pytest.approx(2 * 1)


def test_a_half_is_unfolded_at_its_mirror_line_and_cut_once_if_it_does_not_say():
    _, strip = read(document(PLATE, STRIP), None)
    assert (strip.name, strip.quantity) == ("STRIP", 1)
    assert area(strip.boundary) == pytest.approx(24 * 4)
    assert (strip.sew, strip.notches, strip.inner_cuts) == (None, (), ())


def test_the_same_numbers_in_millimetres_make_a_piece_25_4_times_smaller():
    plate, _ = read(document(PLATE, STRIP, units="METRIC"), None)
    assert shapely.Polygon(plate.boundary).area == pytest.approx(12 * 16)
