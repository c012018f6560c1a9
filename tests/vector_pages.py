"""Printed pages as the lines in their content streams, read by the operators of ISO 32000-1.

Nothing here is made by the code that writes the pages: the numbers of the paths
are brought to millimetres on the page by the matrices in the file.
"""

import io
import math
from dataclasses import dataclass, field

import numpy as np
import pypdf
import shapely
from pypdf.generic import ContentStream

#: Millimetres of a point, 1/72 in.
POINT_MM = 25.4 / 72


@dataclass(frozen=True)
class Look:
    """Width and dashes of a line in millimetres on paper, and its grey."""

    width: float
    dashes: tuple
    grey: float


@dataclass(frozen=True)
class Line:
    """One painted path, what of it is inside its clipping box."""

    look: Look
    shape: shapely.Geometry
    points: tuple
    closed: bool


@dataclass
class State:
    matrix: np.ndarray
    width: float = 1.0
    dashes: tuple = ()
    grey: float = 0.0
    window: shapely.Geometry | None = None

    def copy(self):
        return State(self.matrix, self.width, self.dashes, self.grey, self.window)

    def set(self, name, operands):
        """Carry out an operator that changes how lines are drawn."""
        if name == "cm":
            self.matrix = matrix(operands) @ self.matrix
        elif name == "w":
            self.width = float(operands[0])
        elif name == "d":
            self.dashes = tuple(float(each) for each in operands[0])
        elif name == "G":
            self.grey = float(operands[0])

    def clip(self, path):
        window = shapely.Polygon(path[0][0])
        self.window = window if self.window is None else self.window & window


STROKES = ("S", "s", "B", "B*", "b", "b*")
PAINTS = (*STROKES, "f", "F", "f*", "n")


@dataclass
class Reader:
    """Carries out the operators of one page."""

    reader: pypdf.PdfReader
    lines: list = field(default_factory=list)

    def run(self, stream, resources, state):
        saved, path, clips = [], [], False
        for operands, operator in ContentStream(stream, self.reader).operations:
            name = operator.decode()
            state.set(name, operands)
            add_to(path, name, operands, state)
            if name == "q":
                saved.append(state.copy())
            elif name == "Q":
                state = saved.pop()
            elif name in ("W", "W*"):
                clips = True
            elif name in PAINTS:
                if name in STROKES:
                    self.paint(path, state, closed=name[0] in "sb")
                if clips:
                    state.clip(path)
                path, clips = [], False
            elif name == "Do":
                form = resources["/XObject"][operands[0]].get_object()
                inner = state.copy()
                inner.set("cm", form.get("/Matrix", (1, 0, 0, 1, 0, 0)))
                self.run(form, form.get("/Resources", resources), inner)

    def paint(self, path, state, closed):
        scale = math.sqrt(abs(np.linalg.det(state.matrix[:2, :2]))) * POINT_MM
        dashes = tuple(round(each * scale, 4) for each in state.dashes)
        look = Look(round(state.width * scale, 4), dashes, round(state.grey, 4))
        for points, ended in path:
            run = (*points, points[0]) if ended or closed else tuple(points)
            shape = shapely.LineString(run)
            if state.window is not None:
                shape = shape & state.window
            if not shape.is_empty:
                self.lines.append(Line(look, shape, run, ended or closed))


def add_to(path, name, operands, state):
    """Carry out an operator that builds a path, a list of points and whether they are closed."""
    if name == "m":
        path.append(([placed(operands, state)], False))
    elif name == "l":
        path[-1][0].append(placed(operands, state))
    elif name == "h":
        path[-1] = (path[-1][0], True)
    elif name == "re":
        path.append((box(operands, state), True))
    elif name in ("c", "v", "y"):
        msg = f"curves are not read here: {name}"
        raise ValueError(msg)


def matrix(operands):
    a, b, c, d, e, f = (float(each) for each in operands)
    return np.array([[a, b, 0], [c, d, 0], [e, f, 1]])


def placed(operands, state):
    x, y = (float(each) for each in operands)
    there = np.array([x, y, 1]) @ state.matrix
    return float(there[0]) * POINT_MM, float(there[1]) * POINT_MM


def box(operands, state):
    x, y, w, h = (float(each) for each in operands)
    corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
    return [placed(corner, state) for corner in corners]


@dataclass(frozen=True)
class Page:
    """The lines of a page, and its words with the places where they begin."""

    lines: tuple
    words: tuple

    def of(self, width, dashes=(), grey=None):
        """What is drawn with lines of one look."""
        return [
            line
            for line in self.lines
            if abs(line.look.width - width) < 1e-3
            and len(line.look.dashes) == len(dashes)
            and all(abs(a - b) < 1e-3 for a, b in zip(line.look.dashes, dashes, strict=True))
            and grey in (None, line.look.grey)
        ]


def pages(data):
    """Every page of a file, in millimetres from its lower left corner."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    return [_page(reader, page) for page in reader.pages]


def _page(reader, page):
    run = Reader(reader)
    run.run(page.get_contents(), page["/Resources"], State(np.eye(3)))
    words = []

    def visit(text, user, own, _font, _size):
        if text.strip():
            place = matrix(own) @ matrix(user)
            words.append((text.strip(), placed((0, 0), State(place))))

    page.extract_text(visitor_text=visit)
    return Page(tuple(run.lines), tuple(words))
