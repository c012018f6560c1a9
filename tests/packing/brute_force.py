"""The shortest strip for a few rectangles, by trying every layout that can be the shortest.

In some shortest layout every rectangle is pushed to the start and down: it
begins at 0 or where another ends that begins earlier, and lies at 0 or at a
sum of heights. Rectangles are placed from left to right and upward, so each
such layout is met once, and a branch is left as soon as the cells that can
still be covered are fewer than the cells to come. No strip is tried that is
shorter than the area asks, than the longest piece, or than all those together
that are higher than half the strip and so lie in file.
"""

import math
from itertools import count


def shortest_strip(width, rectangles, *, quarter_turns=False, gap=0):
    """Least length of a strip for (length, height) rectangles in small whole numbers.

    With a gap every rectangle is longer and higher by it, and so is the
    strip: near in the sense of boxes, which is never nearer than the gap.
    """
    sides = sorted(((a + gap, b + gap) for a, b in rectangles), reverse=True)
    across = width + gap
    ways = [{(a, b), (b, a)} if quarter_turns else {(a, b)} for a, b in sides]
    ways = [sorted(way for way in each if way[1] <= across) for each in ways]
    area = sum(a * b for a, b in sides)
    in_file = sum(min(each)[0] for each in ways if all(2 * way[1] > across for way in each))
    least = max(math.ceil(area / across), *(min(each)[0] for each in ways), in_file)
    return next(end for end in count(least) if _fits(end, across, ways, area)) - gap


def _fits(end, width, ways, area):
    """Tell whether the rectangles fit a strip of a given length."""
    heights = _sums([max(h for _, h in each) for each in ways], width)
    if any(len(each) > 1 for each in ways):
        heights = range(width)

    def place(left, columns, starts, at, missing):
        if not left:
            return True
        for x in sorted(starts):
            if x >= at[0] and _room(columns, x, 0, width) >= missing:
                for y in heights:
                    if (x, y) > at and place_at(x, y, left, columns, starts, missing):
                        return True
        return False

    def place_at(x, y, left, columns, starts, missing):
        if _room(columns, x, y, width) < missing:
            return False
        for k in range(len(left)):
            if left[k] in left[:k]:
                continue  # the same as one already tried
            for length, height in left[k]:
                cells = ((1 << height) - 1) << y
                if x + length > end or y + height > width:
                    continue
                if any(column & cells for column in columns[x : x + length]):
                    continue
                covered = [
                    column | cells if x <= c < x + length else column
                    for c, column in enumerate(columns)
                ]
                others = left[:k] + left[k + 1 :]
                area_left = missing - length * height
                if place(others, covered, starts | {x + length}, (x, y), area_left):
                    return True
        return False

    return place(ways, [0] * end, {0}, (0, -1), area)


def _room(columns, x, y, width):
    """Cells that are free from (x, y) on, upward and then to the right."""
    free = (len(columns) - x) * width - y
    here = (columns[x] >> y).bit_count() if x < len(columns) else 0
    return free - here - sum(column.bit_count() for column in columns[x + 1 :])


def _sums(numbers, most):
    found = {0}
    for number in numbers:
        found |= {s + number for s in found if s + number < most}
    return sorted(found)
