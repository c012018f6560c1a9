"""`clothwright lay`: printed files, and cloth that is marked on its wrong side."""

import csv
import io

import openpyxl
import pypdf

QUICK = ("--steps", "1", "--workers", "1")


def _written(order):
    folder = order.parent / "bench-lay"
    return {path.name: path for path in folder.iterdir() if path.name != ".clothwright"}


def _texts(path):
    return [page.extract_text() for page in pypdf.PdfReader(path).pages]


def test_pdf_and_xlsx_are_written_when_they_are_asked_for(clothwright, order):
    assert clothwright("lay", order, *QUICK, "--formats", "pdf,xlsx").status == 0
    files = _written(order)
    assert set(files) == {"layout.json", "grey-wool-2.pdf", "marking-out.pdf", "workbook.xlsx"}
    assert len(_texts(files["grey-wool-2.pdf"])) == 1
    assert "Items" in openpyxl.load_workbook(files["workbook.xlsx"]).sheetnames


def test_face_down_mirrors_the_marking_out_and_says_so_everywhere(clothwright, order):
    rows = {}
    for face in ("up", "down"):
        formats = ("--formats", "pdf,csv", "--face", face)
        ended = clothwright("lay", order, *QUICK, *formats)
        assert ended.status == 0
        text = _written(order)["marking-out.csv"].read_text(encoding="utf-8-sig")
        rows[face] = list(csv.DictReader(io.StringIO(text)))
        pages = [
            *_texts(_written(order)["marking-out.pdf"]),
            *_texts(_written(order)["grey-wool-2.pdf"]),
        ]
        assert all(("FACE DOWN" in page) == (face == "down") for page in pages)
        assert ("are mirrored" in ended.err) == (face == "down")
    for one, other in zip(rows["up"], rows["down"], strict=True):
        # the cloth is 140 cm wide
        high = float(one["from lower edge, farthest (cm)"])
        assert float(other["from lower edge, nearest (cm)"]) == round(140 - high, 2)
        assert one["panel"] == other["panel"]


def test_another_way_to_lie_is_refused(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--face", "sideways")
    assert ended.status == 2
    assert '--face: must be up or down: "sideways"' in ended.err


def test_the_table_for_marking_out_has_the_separator_that_is_asked_for(clothwright, order):
    semicolon = ("--formats", "csv", "--csv-separator", ";")
    assert clothwright("lay", order, *QUICK, *semicolon).status == 0
    text = _written(order)["marking-out.csv"].read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text), delimiter=";"))
    assert len(rows[0]) == 15
    assert all("," in row["length (cm)"] for row in rows)


def test_another_separator_is_refused(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--csv-separator", "|")
    assert ended.status == 2
    assert '--csv-separator: must be "," or ";"' in ended.err
    assert not (order.parent / "bench-lay").exists()


def test_names_that_are_respelled_in_print_are_listed(clothwright, order):
    text = order.read_text(encoding="utf-8").replace('name = "seat"', 'name = "毛"')
    order.write_text(text, encoding="utf-8")
    ended = clothwright("lay", order, *QUICK, "--formats", "pdf")
    assert ended.status == 0
    said = " ".join(ended.err.split())
    assert 'In PDFs "毛" is written "Mao": their typeface lacks some letters.' in said
    assert any("Mao / plate" in page for page in _texts(_written(order)["marking-out.pdf"]))


def test_a_cloth_named_like_the_marking_out_does_not_overwrite_it(clothwright, order):
    text = order.read_text(encoding="utf-8").replace("Grey Wool 2", "Marking out")
    order.write_text(text, encoding="utf-8")
    assert clothwright("lay", order, *QUICK, "--formats", "pdf").status == 0
    files = _written(order)
    assert set(files) == {"layout.json", "marking-out.pdf", "marking-out-2.pdf"}
    assert len(_texts(files["marking-out-2.pdf"])) == 1
