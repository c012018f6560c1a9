"""Writes printed pages as PDF in true size; equal pages give equal bytes.

Coordinates in the file are millimetres: each page is scaled as a whole.
"""

import io
from collections.abc import Iterable

from reportlab.pdfgen.canvas import Canvas

from nesting.drawings.print import typeface
from nesting.drawings.print.page import (
    LONGEST_PAGE_MM,
    Figure,
    Look,
    Mark,
    Page,
    Side,
    Stroke,
    View,
    Words,
)

#: Points (1/72 in) in a millimetre.
POINTS_PER_MM = 72 / 25.4

#: Share of the length of a line of text that lies before its point.
_BEFORE = {Side.LEFT: 0.0, Side.MIDDLE: 0.5, Side.RIGHT: 1.0}


def write(title: str, pages: Iterable[Page]) -> bytes:
    """The pages as the bytes of a PDF file.

    Raises
    ------
    ValueError
        When a page is larger than a PDF allows.
    """
    stream = io.BytesIO()
    typeface.load()
    canvas = Canvas(stream, invariant=1, pageCompression=1, initialFontName=typeface.NAME)
    canvas.setTitle(typeface.printable(title))
    canvas.setCreator("clothwright")
    canvas.setAuthor("")
    writer = _Writer(canvas)
    for page in pages:
        writer.add(page)
    canvas.save()
    return stream.getvalue()


class _Writer:
    """Draws marks on a canvas, and adds each figure to the file when it is first shown."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._names: dict[Figure, str] = {}

    def add(self, page: Page) -> None:
        if max(page.width, page.height) > LONGEST_PAGE_MM:
            msg = f"a page must be at most {LONGEST_PAGE_MM:g} mm: {page.width:g} x {page.height:g}"
            raise ValueError(msg)
        canvas = self._canvas
        for mark in page.marks:
            self._define(mark)
        canvas.setPageSize((page.width * POINTS_PER_MM, page.height * POINTS_PER_MM))
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        self._draw(page.marks)
        canvas.showPage()

    def _define(self, mark: Mark) -> None:
        """Add the figure of a view to the file, after the figures inside it."""
        if not isinstance(mark, View) or mark.figure in self._names:
            return
        figure = mark.figure
        for inner in figure.marks:
            self._define(inner)
        name = self._names[figure] = f"figure{len(self._names) + 1}"
        self._canvas.beginForm(name, *figure.box)
        self._draw(figure.marks)
        self._canvas.endForm()

    def _draw(self, marks: Iterable[Mark]) -> None:
        self._canvas.setLineJoin(1)
        self._canvas.setLineCap(0)
        look: Look | None = None
        for mark in marks:
            if isinstance(mark, Stroke):
                if mark.look != look:
                    look = mark.look
                    self._set_look(look)
                self._stroke(mark)
            elif isinstance(mark, View):
                self._view(mark)
            else:
                self._write(mark)

    def _set_look(self, look: Look) -> None:
        self._canvas.setLineWidth(look.width)
        self._canvas.setStrokeGray(look.grey)
        self._canvas.setDash(list(look.dashes))

    def _stroke(self, stroke: Stroke) -> None:
        path = self._canvas.beginPath()
        first, *others = stroke.points
        path.moveTo(*first)
        for point in others:
            path.lineTo(*point)
        if stroke.closed:
            path.close()
        fill = stroke.look.fill
        if fill is not None:
            self._canvas.setFillGray(fill)
        self._canvas.drawPath(path, stroke=int(stroke.look.width > 0), fill=int(fill is not None))

    def _view(self, view: View) -> None:
        canvas = self._canvas
        canvas.saveState()
        if view.window is not None:
            x0, y0, x1, y1 = view.window
            path = canvas.beginPath()
            path.rect(x0, y0, x1 - x0, y1 - y0)
            canvas.clipPath(path, stroke=0, fill=0)
        canvas.translate(*view.at)
        if view.turn:
            canvas.rotate(view.turn)
        if view.scale != 1:
            canvas.scale(view.scale, view.scale)
        canvas.doForm(self._names[view.figure])
        canvas.restoreState()

    def _write(self, words: Words) -> None:
        """Draw a line of text; half the height of capitals down centres it on its point."""
        text = typeface.printable(words.content)
        before = _BEFORE[words.side] * typeface.width(text, words.height)
        canvas = self._canvas
        canvas.saveState()
        canvas.setFillGray(words.grey)
        canvas.setFont(typeface.NAME, words.height / typeface.CAPITALS)
        canvas.translate(*words.at)
        if words.angle:
            canvas.rotate(words.angle)
        canvas.drawString(-before, -words.height / 2, text)
        canvas.restoreState()
