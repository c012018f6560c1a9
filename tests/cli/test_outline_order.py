"""An order of shapes from the maker's own drawings, from the file to the check of the lay."""

import json

import ezdxf
import pytest

HEAD = """\
version = 1
name = "Shapes"
units = "cm"

[[cloth]]
name = "twill"
width = 140
"""

ITEM = """
[[item]]
product = "outline"
name = "{}"
quantity = 2
cloth = "twill"
file = "{}"
"""

#: Arcs and cubics, bent inward below; y runs down in SVG.
BEAN = (
    "M 20 70 C 20 -10 180 -10 180 70 A 20 20 0 0 1 140 70 "
    "C 140 40 60 40 60 70 A 20 20 0 0 1 20 70 Z"
)


def svg(inside):
    head = 'width="20cm" height="10cm" viewBox="0 0 200 100"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>\n{inside}\n</svg>\n'


@pytest.fixture
def drawings(folder):
    """A folder of drawings beside the order."""
    (folder / "drawn").mkdir()
    (folder / "drawn" / "bean.svg").write_text(svg(f'<path d="{BEAN}"/>'))
    document = ezdxf.new()
    document.header["$INSUNITS"] = 1
    bends = [(0, 0, 0), (8, 0, 1), (8, 4, 0), (0, 4, 0)]
    document.modelspace().add_lwpolyline(bends, format="xyb", close=True)
    document.saveas(folder / "drawn" / "door.dxf")
    return folder


def order_of(folder, *items):
    path = folder / "shapes.toml"
    path.write_text(HEAD + "".join(items), encoding="utf-8")
    return path


def test_drawn_shapes_are_laid_and_verified_and_their_pieces_can_be_drawn_again(
    clothwright, drawings
):
    bean = ITEM.format("bean", "drawn/bean.svg")
    door = ITEM.format("door", "drawn/door.dxf") + 'line = "cut"\nallowance_within = "1/4 in"\n'
    order = order_of(drawings, bean, door)
    laid = clothwright(
        "lay", order, "--steps", 2, "--workers", 1, "--out", "lay", "--formats", "dxf,make-up"
    )
    assert laid.status == 0
    # 8 in and half a disc of 4 in, 203.2 + 50.8 mm
    assert "door: outline: drawn 25.4 cm along the grain and 10.2 cm across" in laid.out
    assert "bean" in (drawings / "lay" / "make-up.html").read_text("utf-8")
    assert clothwright("verify", "lay/layout.json").status == 0
    assert clothwright("verify", "lay/twill.dxf", "--order", order).status == 0

    assert clothwright("panels", order, "--formats", "dxf", "--out", "pieces").status == 0
    again = order_of(drawings, ITEM.format("again", "pieces/pieces.dxf").replace("= 2", "= 1"))
    laid_again = clothwright(
        "lay", again, "--steps", 2, "--workers", 1, "--out", "again", "--formats", "dxf"
    )
    assert laid_again.status == 0
    first, second = (
        json.loads((drawings / name / "layout.json").read_text())["cloths"][0]["panels"]
        for name in ("lay", "again")
    )
    assert [p["outline_mm"] for p in first] == [p["outline_mm"] for p in second]
    assert [p["quantity"] for p in first] == [p["quantity"] for p in second]


def test_all_faults_of_all_drawings_are_reported_with_the_line_of_the_order(clothwright, drawings):
    (drawings / "bad.svg").write_text(svg('<path d="M 0 0 L 90 0 L 90 90"/>\n<use href="#x"/>'))
    (drawings / "pixels.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    (drawings / "photo.dxf").write_bytes(b"\xff\xd8\xff\xe0JFIF")
    names = ("bad.svg", "pixels.svg", "photo.dxf", "gone.dxf")
    order = order_of(drawings, *(ITEM.format(name, name) for name in names))
    ended = clothwright("lay", order)
    assert ended.status == 2
    shown = ended.err
    assert (
        'shapes.toml:14: item 1 "bad.svg", file: line 2, path, at (0, 0): the path must be' in shown
    )
    assert 'shapes.toml:14: item 1 "bad.svg", file: line 3, use: must be a plain path' in shown
    assert 'shapes.toml:21: item 2 "pixels.svg", file: svg, width missing' in shown
    assert 'shapes.toml:28: item 3 "photo.dxf", file: the drawing: must be a DXF or an SVG' in shown
    assert 'shapes.toml:35: item 4 "gone.dxf", file: must be the path of a file' in shown
    assert not (drawings / "shapes-lay").exists()


def test_the_product_is_shown_with_an_example(clothwright, folder):
    shown = clothwright("products", "outline", "--svg", "example.svg")
    assert shown.status == 0
    assert "a half round of 60.0 cm is the example; draw your own shape" in shown.out
    assert "<svg" in (folder / "example.svg").read_text("utf-8")
