"""What is written is what was read back: faults that only the bytes of a file have."""

import re

import pytest
from planted_faults import LAY, mirrored

from nesting.drawings.drawing import Pen
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.svg import writer as svg
from nesting.drawings.tool import Tool
from nesting.errors import UnprovenLayError
from nesting.exporters.lay import lay_drawing
from nesting.planning import drawing_files
from nesting.planning.drawing_files import DrawnLay

PENS = {**hpgl.OWN_PENS, Pen.STITCH: 3, Pen.GRAIN: 2}

#: Each option of a machine format: its writer, and how the files of a lay are made.
FORMATS = {
    "dxf": (dxf, drawing_files.dxf_files),
    "dxf with arcs": (dxf, lambda sheets: drawing_files.dxf_files(sheets, arcs=True)),
    "dxf-r12": (dxf, drawing_files.dxf_r12_files),
    "dxf-r12 with arcs": (dxf, lambda sheets: drawing_files.dxf_r12_files(sheets, arcs=True)),
    "svg": (svg, drawing_files.svg_files),
    "plt": (hpgl, lambda sheets: drawing_files.plt_files(sheets, hpgl.Plotter())),
    "plt in frames": (
        hpgl, lambda sheets: drawing_files.plt_files(sheets, hpgl.Plotter(frame=250.0)),
    ),
    "plt with other pens": (
        hpgl, lambda sheets: drawing_files.plt_files(sheets, hpgl.Plotter(pens=PENS)),
    ),
}  # fmt: skip


def sheet_for(tool):
    return DrawnLay("teal-twill", LAY, lay_drawing(LAY, tool), tool)


def findings_of(refused):
    return {int(re.search(r"finding (\d+)", fault.rule)[1]) for fault in refused.value.faults}


@pytest.mark.parametrize("tool", Tool)
@pytest.mark.parametrize("name", FORMATS)
def test_a_writer_that_mirrors_is_found_in_every_format(monkeypatch, name, tool):
    writer, files = FORMATS[name]
    assert files([sheet_for(tool)]).files
    sound = writer.write
    monkeypatch.setattr(writer, "write", lambda drawing, *a, **k: sound(mirrored(drawing), *a, **k))
    with pytest.raises(UnprovenLayError) as refused:
        files([sheet_for(tool)])
    assert 203 in findings_of(refused)


def replaced(pattern, new):
    def spoil(data):
        spoilt = re.sub(pattern, new, data, count=1)
        assert spoilt != data
        return spoilt

    return spoil


def retagged(kind, code, value):
    """The value of a group code changed in the first such entity of a DXF file."""

    def spoil(data):
        lines = data.decode("cp1252").split("\n")
        at = lines.index(kind, lines.index("ENTITIES"))
        at = next(i for i in range(at + 1, len(lines), 2) if lines[i].strip() == code)
        assert lines[at + 1] != value
        return "\n".join((*lines[: at + 1], value, *lines[at + 2 :])).encode("cp1252")

    return spoil


def with_a_line(layer):
    """One entity more at the beginning: a straight line."""
    more = f"  0\nLINE\n  8\n{layer}\n 10\n1.0\n 20\n1.0\n 11\n9.0\n 21\n9.0\n".encode()
    return replaced(rb"(  2\nENTITIES\n)", lambda found: found[1] + more)


def dxf_spoilt(line):
    """Faults of a DXF file whose lines are such entities."""
    return {
        "a label too large": (retagged("TEXT", "40", "13.0"), 609),
        "a label turned": (retagged("TEXT", "50", "30.0"), 609),
        "a label moved": (retagged("TEXT", "11", "12.5"), 609),
        "a line on a layer that no kind has": (retagged(line, "8", "score"), 611),
        "a line of a kind that the file has not": (with_a_line("cut"), 611),
        "a line beside the square that shows the scale": (with_a_line("scale"), 611),
    }


SVG_SPOILT = {
    "a label too large": (replaced(rb'(font-size=")[\d.]+', rb"\g<1>18"), 609),
    "a label turned": (replaced(rb'(translate\([^)]*\))', rb"\1 rotate(30)"), 609),
    "a label moved": (replaced(rb"translate\([\d.]+", rb"translate(12.5"), 609),
    "a line in no group of a pen": (
        replaced(rb"</svg>", b'<polyline points="1,1 90,90" /></svg>'), 611,
    ),
    "a group that no kind has": (replaced(rb'class="notch"', rb'class="score"'), 611),
    "a flaw that the cloth has not": (
        replaced(rb'("flaw"[^>]*) />', rb'\1><polyline points="1,1 90,90" /></g>'), 609,
    ),
}  # fmt: skip

PLT_SPOILT = {
    "a line of a pen that draws nothing": (
        replaced(rb"PU;SP0;", b"PU;SP9;PU4000,4000;PD8000,4000;PU;SP0;"), 611,
    ),
}  # fmt: skip

CASES = [
    (name, fault, *planted)
    for names, faults in (
        (("dxf", "dxf with arcs"), dxf_spoilt("LWPOLYLINE")),
        (("dxf-r12", "dxf-r12 with arcs"), dxf_spoilt("POLYLINE")),
        (("svg",), SVG_SPOILT),
        (("plt", "plt in frames", "plt with other pens"), PLT_SPOILT),
    )
    for name in names
    for fault, planted in faults.items()
]


@pytest.mark.parametrize(("name", "fault", "spoil", "number"), CASES)
def test_a_fault_that_only_the_bytes_have_is_found(monkeypatch, name, fault, spoil, number):
    writer, files = FORMATS[name]
    sound = writer.write
    monkeypatch.setattr(writer, "write", lambda *given, **more: spoil(sound(*given, **more)))
    with pytest.raises(UnprovenLayError) as refused:
        files([sheet_for(Tool.PEN)])
    assert number in findings_of(refused)
