"""`clothwright panels`: full-size templates on sheets, on roll paper, on the fold."""

import pypdf
import pytest


def _templates(order):
    return pypdf.PdfReader(order.parent / "bench-panels" / "templates.pdf").pages


def test_templates_are_printed_on_a4_sheets_where_people_measure_in_centimetres(clothwright, order):
    assert clothwright("panels", order, "--formats", "pdf").status == 0
    pages = _templates(order)
    assert {tuple(sorted(round(float(v)) for v in p.mediabox[2:])) for p in pages} == {(595, 842)}
    assert any("seat / plate" in page.extract_text() for page in pages)


def test_roll_paper_takes_all_templates_on_one_page(clothwright, order):
    assert clothwright("panels", order, "--formats", "pdf", "--paper", "36 in").status == 0
    (page,) = _templates(order)
    # by hand: 36 in are 2592 points
    assert float(page.mediabox[3]) == pytest.approx(2592, abs=0.01)
    assert "seat / plate" in page.extract_text()


def test_halves_save_sheets(clothwright, order):
    sheets = []
    for fold in ((), ("--fold",)):
        assert clothwright("panels", order, "--formats", "pdf", *fold).status == 0
        sheets.append(len(_templates(order)))
    assert sheets[1] < sheets[0]


def test_a_panel_wider_than_the_roll_is_divided_with_matching_marks(clothwright, order):
    assert clothwright("panels", order, "--formats", "pdf", "--paper", "30 cm").status == 0
    text = "".join(page.extract_text() for page in _templates(order))
    assert "seat / plate, sheet A1" in text
    assert "A1 · B1" in text
