import io

import pypdf
import pytest
from pixels import PER_MM, lines_across, lines_up, rendered

from nesting.drawings.print import pdf
from nesting.drawings.print.page import (
    Figure,
    Look,
    Page,
    Side,
    Stroke,
    View,
    Words,
    line,
    rectangle,
)
from nesting.drawings.print.typeface import (
    printable,
    respellings,
    shortened,
    spelling_notes,
    width,
    wrapped,
)

MM = 72 / 25.4


def _read(*marks, size=(100, 80), title="title"):
    return pypdf.PdfReader(io.BytesIO(pdf.write(title, [Page(*size, marks)])))


def test_a_page_has_its_size_in_points():
    (page,) = _read(size=(210, 297)).pages
    # ISO 216 A4, 210 x 297 mm, is 595.276 x 841.890 points of 1/72 in
    assert tuple(map(float, page.mediabox)) == pytest.approx((0, 0, 595.276, 841.89), abs=0.001)


def test_equal_pages_give_equal_bytes_without_the_time_of_day():
    data = [pdf.write("t", [Page(50, 50, (Words((5, 5), 3, "Łódź"),))]) for _ in range(2)]
    assert data[0] == data[1]
    assert pypdf.PdfReader(io.BytesIO(data[0])).metadata.creation_date.year == 2000


def test_lines_lie_where_they_were_drawn():
    marks = (line((20, 0), (20, 80)), line((70.5, 0), (70.5, 80)), line((0, 30), (100, 30)))
    grey = rendered(pdf.write("t", [Page(100, 80, marks)]))
    left, right = lines_up(grey, 75)
    (height,) = lines_across(grey, 90)
    assert right - left == pytest.approx(50.5 * PER_MM, abs=1)
    assert height == pytest.approx((80 - 30) * PER_MM, abs=1)


def test_a_figure_is_in_the_file_once_however_often_it_is_shown():
    square = Figure((-1, -1, 11, 11), (rectangle(0, 0, 10, 10, Look(0.3)),))
    views = (
        View(square, (10, 10)),
        View(square, (40, 10), scale=2),
        View(square, (90, 10), turn=90),
    )
    reader = _read(*views)
    (page,) = reader.pages
    assert len(page["/Resources"]["/XObject"]) == 1
    grey = rendered(pdf.write("t", [Page(100, 80, views)]))
    assert len(lines_up(grey, 9)) == 2 + 2 + 2
    assert lines_up(grey, 19)[1] - lines_up(grey, 19)[0] == pytest.approx(20 * PER_MM, abs=1)


def test_nothing_of_a_view_shows_outside_its_window():
    figure = Figure((0, -1, 100, 1), (line((0, 0), (100, 0)),))
    grey = rendered(
        pdf.write("t", [Page(100, 80, (View(figure, (0, 40), window=(20, 0, 60, 80)),))])
    )
    dark = (grey < 128).any(axis=0).nonzero()[0]
    assert (dark.min(), dark.max()) == pytest.approx((20 * PER_MM, 60 * PER_MM), abs=2)


@pytest.mark.parametrize(
    "text", ["Łódź ½ × 3 – “quoted”", "Ёлка, подушка", "Μαξιλάρι", "Đorđe's chữ"]
)
def test_words_of_latin_greek_and_cyrillic_are_read_back_as_they_were_written(text):
    (page,) = _read(Words((5, 40), 3, text)).pages
    assert page.extract_text().strip() == text


def test_words_in_other_letters_are_respelled_with_a_note():
    # 毛 is read máo in Mandarin
    (page,) = _read(Words((5, 40), 3, "毛 pouf")).pages
    assert page.extract_text().strip() == "Mao pouf"
    assert respellings(["毛 pouf", "Łódź"]) == {"毛 pouf": "Mao pouf"}
    assert spelling_notes(["毛 pouf"]) == (
        'In PDFs "毛 pouf" is written "Mao pouf": their typeface lacks some letters.',
    )


def test_letters_without_a_plain_spelling_become_a_question_mark():
    assert printable("a\ue000b") == "a?b"


def test_line_ends_and_controls_become_blanks():
    (page,) = _read(Words((5, 40), 3, "two\nlines\x07")).pages
    assert page.extract_text().split() == ["two", "lines"]


@pytest.mark.parametrize(("side", "left"), [(Side.LEFT, 50), (Side.MIDDLE, 45), (Side.RIGHT, 40)])
def test_words_stand_beside_or_around_their_point(side, left):
    height = 10 * 3 / width("HHHHH", 3)  # as long as 10 mm
    grey = rendered(pdf.write("t", [Page(100, 80, (Words((50, 40), height, "HHHHH", side),))]))
    dark = grey < 128
    xs, ys = dark.any(axis=0).nonzero()[0], dark.any(axis=1).nonzero()[0]
    assert xs.min() == pytest.approx(left * PER_MM, abs=4)  # a letter begins with some blank
    assert (ys.min() + ys.max()) / 2 == pytest.approx(40 * PER_MM, abs=2)
    assert ys.max() - ys.min() == pytest.approx(height * PER_MM, abs=3)


def test_a_page_longer_than_a_pdf_allows_is_refused():
    # 5080 mm are 14400 points: ISO 32000-1, annex C.2
    pdf.write("t", [Page(5080, 100, ())])
    with pytest.raises(ValueError, match="at most 5080 mm"):
        pdf.write("t", [Page(5081, 100, ())])


def test_text_that_is_too_long_is_shortened_with_an_ellipsis():
    assert shortened("short", 3, 100) == "short"
    cut = shortened("a very long name of an item", 3, 30)
    assert cut.endswith("…")
    assert width(cut, 3) <= 30


def test_lines_are_broken_between_words_and_no_word_is_lost():
    text = "measure both squares across and up before anything is cut"
    lines = wrapped(text, 2, 30)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(width(one, 2) <= 30 for one in lines)


def test_a_stroke_may_be_filled_without_a_line():
    filled = Stroke(((10, 10), (20, 10), (20, 20)), Look(0.0, fill=0.5), closed=True)
    grey = rendered(pdf.write("t", [Page(30, 30, (filled,))]))
    assert set(grey[150, 180:190].tolist()) == {127} or set(grey[150, 180:190].tolist()) == {128}
