"""Faults planted in the drawing of a lay, each with the findings that it must lead to.

One list, so that every reader is tried with the same faults: those that prove a
file before it is written, and those that read a file from elsewhere.
"""

from dataclasses import replace

import worked_lays

from nesting.drawings.drawing import Pen
from nesting.exporters.lay import lay_drawing
from nesting.panels.panel import DrillMark
from nesting.units import CM


def marked_lay():
    """The mixed lay, its plates with every kind of mark, its boxing with a cut-out."""
    lay = worked_lays.mixed_lay()
    plate, boxing, *others = lay.panels
    window = ((10 * CM, 3 * CM), (13 * CM, 3 * CM), (13 * CM, 5 * CM), (10 * CM, 3 * CM))
    marked = {
        plate: replace(
            plate,
            drills=(DrillMark((9 * CM, 20 * CM), "button"), DrillMark((30 * CM, 20 * CM))),
            lines=(((5 * CM, 4 * CM), (15 * CM, 4 * CM), (15 * CM, 6 * CM)),),
            inner_cuts=(((30 * CM, 5 * CM), (30 * CM, 12 * CM)),),
        ),
        boxing: replace(boxing, inner_cuts=(window,)),
    }
    placed = (replace(one, panel=marked.get(one.panel, one.panel)) for one in lay.placed)
    return replace(lay, panels=(*marked.values(), *others), placed=tuple(placed))


LAY = marked_lay()
SHEET = lay_drawing(LAY)


def with_path(drawing, index, path):
    """The drawing with one path replaced, or removed if ``path`` is None."""
    new = () if path is None else (path,)
    return replace(drawing, paths=(*drawing.paths[:index], *new, *drawing.paths[index + 1 :]))


def shifted(path, dx, dy):
    return replace(path, points=tuple((x + dx, y + dy) for x, y in path.points))


def first(drawing, pen, points=None):
    """Index of the first path of a kind, or of those with so many points."""
    return next(
        index
        for index, path in enumerate(drawing.paths)
        if path.pen is pen and points in (None, len(path.points))
    )


def changed(pen, change, points=None):
    """A fault in the first path of a kind: ``change`` makes another path of it, or None."""

    def plant(drawing):
        index = first(drawing, pen, points)
        return with_path(drawing, index, change(drawing.paths[index]))

    return plant


def in_labels(change):
    """A fault in the first label."""

    def plant(drawing):
        label, *others = drawing.texts
        return replace(drawing, texts=(*change(label), *others))

    return plant


def drawn_too(pen, change):
    """The first path of a kind drawn once more, changed."""

    def plant(drawing):
        more = change(drawing.paths[first(drawing, pen)])
        return replace(drawing, paths=(*drawing.paths, more))

    return plant


def backward(path):
    return replace(path, points=path.points[::-1])


def mirrored(drawing):
    """The whole sheet as it is seen from below, its words in their places."""
    flip = drawing.height
    paths = tuple(
        replace(p, points=tuple((x, flip - y) for x, y in p.points)) for p in drawing.paths
    )
    texts = tuple(
        replace(t, at=(t.at[0], flip - t.at[1]), angle=-t.angle) for t in drawing.texts
    )  # fmt: skip
    return replace(drawing, paths=paths, texts=texts)


def larger(drawing):
    """The whole sheet drawn too large by one in a thousand."""
    paths = tuple(
        replace(p, points=tuple((1.001 * x, 1.001 * y) for x, y in p.points))
        for p in drawing.paths
    )  # fmt: skip
    return replace(drawing, paths=paths)


def head_at_the_tail(drawing):
    """The head of the first grain arrow at its other end, so that the nap seems to run backward."""
    shaft = drawing.paths[first(drawing, Pen.GRAIN, 2)].points
    middle_x = shaft[0][0] + shaft[1][0]
    middle_y = shaft[0][1] + shaft[1][1]

    def turned(path):
        return replace(path, points=tuple((middle_x - x, middle_y - y) for x, y in path.points))

    return changed(Pen.GRAIN, turned, points=3)(drawing)


def head_inside_out(drawing):
    """The barbs of the first grain arrow before its tip."""
    head = drawing.paths[first(drawing, Pen.GRAIN, 3)]
    (x0, y0), tip, (x1, y1) = head.points
    ahead = ((2 * tip[0] - x0, 2 * tip[1] - y0), tip, (2 * tip[0] - x1, 2 * tip[1] - y1))
    return changed(Pen.GRAIN, lambda path: replace(path, points=ahead), points=3)(drawing)


def half_a_head(path):
    return replace(path, points=path.points[:2])


#: Name of each fault, how it is planted, and the numbers of what must be found.
FAULTS = {
    "the sheet mirrored": (mirrored, {202, 203}),
    "the sheet too large": (larger, {202}),
    "a cut line left out": (changed(Pen.CUT, lambda path: None), {101, 601}),
    "a cut line left open": (changed(Pen.CUT, lambda path: replace(path, closed=False)), {605}),
    "a stitch line left out": (changed(Pen.STITCH, lambda path: None), {606}),
    "a stitch line moved": (changed(Pen.STITCH, lambda path: shifted(path, 0.6, 0.8)), {607}),
    "a stitch line left open": (
        changed(Pen.STITCH, lambda path: replace(path, closed=False)), {606, 608},
    ),
    "a stitch line drawn twice": (drawn_too(Pen.STITCH, lambda path: path), {608}),
    "a stitch line drawn as a cut": (
        changed(Pen.STITCH, lambda path: replace(path, pen=Pen.CUT)), {202, 601},
    ),
    "a grain line left out": (changed(Pen.GRAIN, lambda path: None, points=2), {602}),
    "a grain line backward": (changed(Pen.GRAIN, backward, points=2), {610}),
    "a grain arrow without its head": (changed(Pen.GRAIN, lambda path: None, points=3), {610}),
    "a grain arrow with its head at the tail": (head_at_the_tail, {610}),
    "a grain arrow with its head inside out": (head_inside_out, {610}),
    "a grain arrow with its head beside it": (
        changed(Pen.GRAIN, lambda path: shifted(path, 0.0, 1.0), points=3), {610},
    ),
    "a grain arrow with two heads": (
        lambda drawing: replace(
            drawing, paths=(*drawing.paths, drawing.paths[first(drawing, Pen.GRAIN, 3)])
        ),
        {610},
    ),
    "a grain arrow with half a head": (changed(Pen.GRAIN, half_a_head, points=3), {602}),
    "a notch left out": (changed(Pen.NOTCH, lambda path: None), {606}),
    "a notch moved": (changed(Pen.NOTCH, lambda path: shifted(path, 1.0, 0.0)), {607}),
    "a slit that is only drawn": (
        changed(Pen.INNER_CUT, lambda path: replace(path, pen=Pen.INNER_LINE)), {606, 608},
    ),
    "a label left out": (in_labels(lambda label: ()), {601}),
    "a label of another panel": (
        in_labels(lambda label: (replace(label, content="pouf / cap / 1.1"),)), {101, 102},
    ),
    "the edge of the cloth left out": (changed(Pen.SELVEDGE, lambda path: None), {604}),
}  # fmt: skip
