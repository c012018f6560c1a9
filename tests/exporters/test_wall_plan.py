import io
import re
from dataclasses import replace

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pixels import PER_MM, lines_across, lines_up, rendered
from worked_lays import TWILL, mixed_lay, rectangle

from nesting.drawings.lettering import ADVANCE
from nesting.drawings.print.page import Words
from nesting.exporters.marking.cloth_picture import ClothPicture, Fit
from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.exporters.marking.wall_plan import _filled, wall_plan
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face
from nesting.units import CM, MM

LAY = mixed_lay()


def _page(data):
    (page,) = pypdf.PdfReader(io.BytesIO(data)).pages
    return page


def _squares(columns, rows, size=30 * CM):
    panel = rectangle(size, size, name="square", item="mat", per_item=columns * rows)
    placed = tuple(
        PlacedPanel(panel, 1, 1 + i * rows + j, 0, 2 * CM + i * size, TWILL.selvedge + j * size)
        for i in range(columns)
        for j in range(rows)
    )
    return ClothLay(TWILL, (panel,), placed, size, proved_optimal=False)


def test_the_plan_is_one_page_with_the_figures_of_the_lay():
    text = _page(wall_plan(LAY, "Reading nook", "cm")).extract_text()
    for words in (
        "Reading nook: lay plan for teal twill",
        "scale 1 : 9.1",
        "width 140.0 cm",
        "usable width 137.0 cm",
        "length of the lay plan 62.0 cm",
        "length to buy 70.0 cm",
        "6 panels",
        "cushion / plate: 1–2 (42.0 cm × 32.0 cm)",
        "pouf / gore / 1.1",
    ):
        assert " ".join(words.split()) in " ".join(text.split())


def test_no_panel_is_told_smaller_than_it_is_cut():
    # by hand: 20.001 cm and 30.004 cm
    plate = rectangle(20_001, 30_004, name="plate", item="mat")
    placed = PlacedPanel(plate, 1, 1, 0, 10_006, 15_004)
    lay = ClothLay(TWILL, (plate,), (placed,), CM, proved_optimal=False)
    text = _page(wall_plan(lay, "Reading nook", "cm")).extract_text()
    assert "mat / plate: 1 (20.1 cm × 30.1 cm)" in " ".join(text.split())


def test_the_cloth_is_drawn_to_the_scale_that_is_stated():
    """140 cm by 70 cm of cloth."""
    data = wall_plan(LAY, "Reading nook", "cm")
    scale = float(re.search(r"scale 1 : ([\d.]+)", _page(data).extract_text())[1])
    grey = rendered(data)
    top, low, ruler = lines_across(grey, 69)
    dimension, left, right = lines_up(grey, 139)
    assert low - top == pytest.approx(1400 / scale * PER_MM, abs=1)
    assert right - left == pytest.approx(700 / scale * PER_MM, abs=1)
    assert dimension < left
    assert ruler > low


def test_inches_are_printed_on_letter_paper_with_a_ruler_of_feet_and_inches():
    page = _page(wall_plan(LAY, "Reading nook", "in"))
    assert tuple(map(float, page.mediabox[2:])) == pytest.approx((792, 612), abs=0.01)
    assert "6 in" in page.extract_text()


def test_a_long_lay_is_shown_in_rows_that_hold_all_of_it():
    picture = ClothPicture(_squares(40, 4), "cm")
    fit = picture.fit(277, 150)
    assert fit.rows > 1
    wide = picture.length / fit.rows / fit.scale
    assert wide <= 277
    rows = [m for m in picture.marks((10, 200), fit) if hasattr(m, "figure")]
    assert len(rows) == fit.rows
    for row, view in enumerate(rows):
        # the part of the cloth that a row shows begins where the row before it ends
        start = (view.window[0] - view.at[0]) * fit.scale
        assert start == pytest.approx(row * picture.length / fit.rows, abs=fit.scale)


def test_a_plan_of_very_many_panels_takes_larger_paper_until_its_numbers_can_be_read():
    few, many = _squares(4, 4), _squares(60, 4)
    sizes = [float(_page(wall_plan(lay, "o", "cm")).mediabox[2]) for lay in (few, many)]
    assert sizes[0] == pytest.approx(297 / 25.4 * 72, abs=0.01)
    crowded = ClothLay(
        TWILL,
        (small := rectangle(3 * CM, 3 * CM, name="tab", item="mat", per_item=45 * 100),),
        tuple(
            PlacedPanel(small, 1, 1 + i * 45 + j, 0, (2 + 3 * i) * CM, TWILL.selvedge + 3 * CM * j)
            for i in range(100)
            for j in range(45)
        ),
        3 * CM,
        proved_optimal=False,
    )
    assert float(_page(wall_plan(crowded, "o", "cm")).mediabox[2]) > sizes[0]


def test_face_down_the_plan_says_so_in_large_letters_and_is_mirrored():
    up, down = (wall_plan(LAY, "Reading nook", "cm", face) for face in Face)
    assert FACE_DOWN not in _page(up).extract_text()
    assert FACE_DOWN in _page(down).extract_text()
    pictures = [ClothPicture(LAY, "cm", face) for face in Face]
    one, other = (picture.placed[0].outline.bounds for picture in pictures)
    assert (other[1], other[3]) == (TWILL.width - one[3], TWILL.width - one[1])


def test_a_panel_on_both_sides_of_a_break_has_its_whole_number_in_both_rows():
    """A strip of ten squares of 30 cm in two rows of 152.0 cm: the sixth lies across the break."""
    picture = ClothPicture(_squares(10, 1), "cm")
    scale = 10.0
    marks = [*picture.marks((0.0, 100.0), Fit(scale, 2))]
    numbers = [m for m in marks if isinstance(m, Words) and re.fullmatch(r"\d+", m.content)]
    right = picture.length / 2 / scale
    shown = sorted(int(words.content) for words in numbers)
    divided = [n for n in range(1, 11) if shown.count(n) == 2]
    (broken,) = (
        n for n, one in enumerate(picture.placed, start=1)
        if one.outline.bounds[0] < picture.length / 2 * MM < one.outline.bounds[2]
    )  # fmt: skip
    assert divided == [broken]
    assert len(shown) == 11
    for words in numbers:
        half = ADVANCE * words.height * len(words.content) / 2
        assert words.at[0] - (0 if words.angle else half) >= 0
        assert words.at[0] + (0 if words.angle else half) <= right


def test_a_list_that_is_too_long_for_the_page_has_pages_of_its_own():
    """Nothing is left out, and names too long for a column go on in the next line."""
    panels = tuple(
        replace(LAY.panels[0], name=f"plate for the western window {i}") for i in range(200)
    )
    placed = tuple(
        PlacedPanel(panel, 1, 1, 0, 2 * CM + 42 * CM * (i // 4), TWILL.selvedge + 33 * CM * (i % 4))
        for i, panel in enumerate(panels)
    )
    lay = ClothLay(TWILL, panels, placed, CM, proved_optimal=False)
    first, *more = pypdf.PdfReader(io.BytesIO(wall_plan(lay, "o", "cm"))).pages
    listed = "".join(page.extract_text() for page in more)
    assert "western window" not in first.extract_text().replace("\n", " ")
    assert "…" not in listed
    words = " ".join(listed.split())
    assert all(f"western window {i}: {n}" in words for n, i in enumerate(_marked(lay), start=1))


def _marked(lay):
    """The numbers of the plates in the order in which they are marked."""
    order = (placed.panel.name.split()[-1] for placed in ClothPicture(lay, "cm").placed)
    return list(order)


def test_equal_lays_give_equal_bytes():
    assert wall_plan(LAY, "o", "cm") == wall_plan(mixed_lay(), "o", "cm")


@given(
    rows=st.lists(st.integers(1, 4), max_size=30), down=st.integers(4, 12)
)  # fmt: skip
def test_no_row_of_the_list_is_divided_by_the_end_of_a_column(rows, down):
    lines = [[f"{row}.{i}" for i in range(count)] for row, count in enumerate(rows)]
    columns = _filled(lines, down)
    assert [text for column in columns for text in column] == [t for row in lines for t in row]
    assert all(len(column) <= down for column in columns)
    for column in columns:
        present = {text.split(".")[0] for text in column}
        assert sorted(column) == sorted(t for row in present for t in lines[int(row)])
