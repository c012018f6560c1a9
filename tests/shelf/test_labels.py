"""Labels, and the code on them, read back from the printed page."""

import numpy as np
import pytest
import qr_reader
from pixels import PER_MM, count, rendered
from pypdf import PdfReader
from shelf_lays import roll

from nesting.drawings.print.code import modules
from nesting.shelf.labels import code_text, write_labels
from nesting.shelf.piece import ShelfPiece


def piece(number=17, revision=2, **more):
    return ShelfPiece(number, revision, roll(**more))


@pytest.mark.parametrize("length", [1, 14, 15, 26, 42, 62, 84, 100])
def test_the_code_of_a_text_holds_the_text(length):
    text = ("shelf 17.2\nGrün & blau – 240 x 140 cm, " * 4)[:length]
    text = text.encode()[:length].decode(errors="ignore")
    assert qr_reader.read(np.array(modules(text))) == text


def test_a_spoiled_code_is_found():
    """Otherwise the tests here would say nothing."""
    spoiled = np.array(modules("shelf 17.2"))
    spoiled[-1, -1] ^= True
    with pytest.raises(AssertionError):
        qr_reader.read(spoiled)


def codes(grey):
    """The codes of a page: each is the widest black thing of its label, at its right end."""
    high, wide = grey.shape[0] // PER_MM, grey.shape[1] // PER_MM
    assert (wide, high) == (210, 297)
    left, top, width, height = (210 - 190) / 2, (297 - 5 * 52) / 2, 95, 52
    for row in range(5):
        for column in range(2):
            x, y = left + (column + 1) * width - 36, top + row * height + 9
            box = [round(n * PER_MM) for n in (y, y + 34, x, x + 34)]
            yield grey[box[0] : box[1], box[2] : box[3]]


def test_a_phone_reads_number_cloth_size_and_shade_from_the_page():
    pieces = [piece(17, 2, shade="B7"), piece(4, 1, cloth="Grüner Samt"), piece(123456, 10)]
    page = rendered(write_labels(pieces, "cm"))
    first, second, third, fourth, *_ = codes(page)
    assert qr_reader.read(qr_reader.modules_of(first)) == (
        "shelf 17.2\nlinen\n1000.0 x 140.0 cm\nshade B7"
    )
    assert qr_reader.read(qr_reader.modules_of(second)) == (
        "shelf 4.1\nGrüner Samt\n1000.0 x 140.0 cm"
    )
    assert qr_reader.read(qr_reader.modules_of(third)).startswith("shelf 123456.10\n")
    assert fourth.min() == 255


def test_the_code_has_the_white_edge_that_the_standard_asks_for():
    (code, *_) = codes(rendered(write_labels([piece()], "cm")))
    rows = np.flatnonzero((code < 128).any(axis=1))
    # four modules on each side (ISO/IEC 18004; M)
    side = len(code) * 4 / (len(modules(code_text(piece(), "cm"))) + 2 * 4)
    assert rows[0] >= side - 1
    assert len(code) - 1 - rows[-1] >= side - 1


def test_a_label_says_in_words_what_the_code_says():
    data = write_labels([piece(shade="B7", place="rack 2")], "in")
    text = text_of(data)
    for words in ("17.2", "linen", "393 11/16 × 55 1/8 in", "shade B7", "place rack 2"):
        assert words in text
    assert "shaped" not in text


def text_of(data):
    import io

    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def test_ten_labels_stand_on_a_page_and_no_text_leaves_its_label():
    long = "a very long name of a cloth that needs many words until it is told in full " * 2
    pieces = [piece(n, cloth=long[:100], shade="s" * 100) for n in range(1, 12)]
    data = write_labels(pieces, "cm")
    assert count(data) == 2
    page = rendered(data)
    dark = np.argwhere(page < 100)
    top, left = dark.min(axis=0) / PER_MM
    bottom, right = dark.max(axis=0) / PER_MM
    assert left > 10
    assert right < 200
    assert top > (297 - 260) / 2
    assert bottom < 297 - (297 - 260) / 2
