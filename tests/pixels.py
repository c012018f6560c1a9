"""Printed pages as pixels, rendered by PDFium, and lines found in them."""

import numpy as np
import pypdfium2

#: At this resolution a millimetre is ten pixels.
DPI = 254
PER_MM = 10


def rendered(data, page=0):
    """One page (from 0) as an array of grey, row 0 at the top, 255 is white."""
    document = pypdfium2.PdfDocument(data)
    try:
        sheet = document[page]
        array = sheet.render(scale=DPI / 72, grayscale=True).to_numpy().copy()
        sheet.close()
    finally:
        document.close()
    return array.reshape(array.shape[:2])


def count(data):
    """How many pages a file has."""
    document = pypdfium2.PdfDocument(data)
    try:
        return len(document)
    finally:
        document.close()


def lines_across(grey, least_mm, darkness=128):
    """Heights (pixels from the top) of the middles of horizontal lines at least so long."""
    dark = grey < darkness
    rows = [y for y in range(dark.shape[0]) if _longest_run(dark[y]) >= least_mm * PER_MM]
    return _middles(rows)


def lines_up(grey, least_mm, darkness=128):
    """The same for vertical lines, from the left."""
    return lines_across(grey.T, least_mm, darkness)


def _longest_run(dark):
    padded = np.concatenate(([0], dark.astype(np.int8), [0]))
    steps = np.diff(padded)
    starts, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
    return int((ends - starts).max(initial=0))


def _middles(indices):
    groups = np.split(indices, np.flatnonzero(np.diff(indices) > 1) + 1) if indices else []
    return [float(group.mean()) for group in groups]
