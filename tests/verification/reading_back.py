"""A lay drawing as each of our readers finds it again in each format."""

from nesting.drawings import dxf, dxf_own_reader, dxf_reader, hpgl, hpgl_reader, svg, svg_reader


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
