"""A lay drawing written in each format and read back by our reader of that format."""

from nesting.drawings.dxf import own_reader as dxf_own_reader
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg


def by_dxf(drawing):
    return dxf_reader.read(dxf.write(drawing))


def by_r12(drawing):
    return dxf_own_reader.read(dxf.write(drawing, dxf.Release.R12))


def by_arcs(drawing):
    return dxf_reader.read(dxf.write(drawing, arcs=True))


def by_svg(drawing):
    return svg_reader.read(svg.write(drawing))


def by_plot(drawing):
    return hpgl_reader.read(hpgl.write(drawing, hpgl.Plotter(frame=250.0)))


def by_dxf_of_our_own(drawing):
    return dxf_own_reader.read(dxf.write(drawing))


def by_r12_from_elsewhere(drawing):
    return dxf_reader.read(dxf.write(drawing, dxf.Release.R12))


def by_arcs_of_our_own(drawing):
    return dxf_own_reader.read(dxf.write(drawing, arcs=True))


def by_r12_arcs(drawing):
    return dxf_own_reader.read(dxf.write(drawing, dxf.Release.R12, arcs=True))


def by_one_frame(drawing):
    return hpgl_reader.read(hpgl.write(drawing))


#: Every format with every reader of it: the one at run time and the one for files from elsewhere.
WAYS = (
    by_dxf, by_dxf_of_our_own, by_r12, by_r12_from_elsewhere, by_arcs, by_arcs_of_our_own,
    by_r12_arcs, by_svg, by_plot, by_one_frame,
)  # fmt: skip
