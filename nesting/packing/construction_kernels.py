"""The compiled loop of the first layout; the tests compare it with a plain version."""

from numba import njit


@njit(cache=True, nogil=True)
def forbid(lows, highs, dx, planes):
    """Fill the open integer intervals (groups, columns) of dy that overlap at each offset dx.

    ``planes`` are those of one contact. Entries without an overlap are left as they are.
    """
    _, starts, boxes, normals, offsets, _ = planes
    for g in range(len(boxes)):
        for k in range(len(dx)):
            if not boxes[g, 0] < dx[k] < boxes[g, 2]:
                continue
            low, high, apart = boxes[g, 1], boxes[g, 3], False
            for h in range(starts[g], starts[g + 1]):
                rest, across = offsets[h] - normals[h, 0] * dx[k], normals[h, 1]
                if across > 0:
                    high = min(high, -(-rest // across))
                elif across < 0:
                    low = max(low, rest // across)
                elif rest <= 0:
                    apart = True
            if low < high and not apart:
                lows[g, k], highs[g, k] = low, high
