"""Comments for whoever opens a file: they stand at its top and change nothing that is drawn."""

import io
import re
from dataclasses import replace
from datetime import date
from xml.etree import ElementTree as ET

import ezdxf
import pytest
from ezdxf.audit import Auditor

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf import own_reader, reader, writer
from nesting.drawings.pieces import writer as pieces
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg

SQUARE = ((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (0.0, 60.0))
PLAIN = Drawing(
    "felt",
    100.0,
    70.0,
    (Path(Pen.CUT, SQUARE, closed=True), Path(Pen.DRILL, ((20.0, 20.0),))),
    (Text(Pen.LABEL, (45.0, 30.0), 6.0, "mat / plate / 1.1"),),
)
LONG = "Kunstleder «Größe»: never cut it hot, " * 9
COMMENTED = replace(
    PLAIN, comments=("CAUTION. Keep hands clear.", LONG, "0\nSECTION <b> & --> ]]>")
)


def _head(data):
    """The comments at the top of a DXF file, and the first line after them."""
    lines = data.decode("ascii").splitlines()
    count = next(i for i in range(0, len(lines), 2) if lines[i].strip() != "999")
    return lines[1:count:2], lines[count].strip()


def _audited(data):
    document = ezdxf.read(io.StringIO(data.decode("ascii").replace("\r\n", "\n")))
    auditor = Auditor(document)
    auditor.run()
    return document, [*auditor.errors, *auditor.fixes]


@pytest.mark.parametrize("release", writer.Release)
def test_a_dxf_file_begins_with_its_comments_and_draws_the_same(release):
    plain, commented = (writer.write(each, release) for each in (PLAIN, COMMENTED))
    words, after = _head(commented)
    assert words[0] == "CAUTION. Keep hands clear."
    assert max(map(len, words)) <= 72
    assert "never cut it hot" in " ".join(words)
    assert after == "0"
    assert commented.endswith(plain)
    for read in (own_reader.read, reader.read):
        assert read(commented) == read(plain)
    document, faults = _audited(commented)
    assert faults == []
    assert len(document.modelspace()) == len(_audited(plain)[0].modelspace())


def test_pattern_pieces_begin_with_their_comments_and_stay_the_same():
    piece = pieces.Piece("plate", 2, "felt", SQUARE, ((10.0, 30.0), (80.0, 30.0)))
    plain = pieces.write("mat", [piece], date(2026, 1, 2), "us")
    commented = pieces.write("mat", [piece], date(2026, 1, 2), "us", COMMENTED.comments)
    assert _head(commented)[0][0] == "CAUTION. Keep hands clear."
    assert commented.endswith(plain)
    assert _audited(commented)[1] == []


def test_an_svg_file_has_its_comments_as_description_and_draws_the_same():
    data = svg.write(COMMENTED)
    (words,) = [each.text for each in ET.fromstring(data).iter("{http://www.w3.org/2000/svg}desc")]
    assert words.startswith("CAUTION. Keep hands clear. Kunstleder «Größe»")
    assert words.endswith("0 SECTION <b> & --> ]]>")
    assert svg_reader.read(data) == svg_reader.read(svg.write(PLAIN))


def test_without_comments_nothing_is_added():
    assert not re.search(rb"^ *999$", writer.write(PLAIN), re.MULTILINE)
    assert b"<desc" not in svg.write(PLAIN)
