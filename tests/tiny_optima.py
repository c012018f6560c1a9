"""The shortest lay of a tiny problem, found by trying every lay on the grid."""

from functools import cache
from itertools import count, product

import shapely

from nesting.geometry.transforms import outline_at, shifted


def shortest_length(problem):
    """Least used length over all positions on the grid and all allowed turns.

    Turns are free for every piece: bundles are not looked at. None where the
    strip has a length and no lay keeps within it.
    """
    poses = [
        {outline_at(shape.outline, turn) for turn in shape.turns}
        for shape in (problem.shapes[piece.shape] for piece in problem.pieces)
    ]
    poses = [[pose for pose in choice if pose.height <= problem.width] for choice in poses]
    known = list({pose for choice in poses for pose in choice})
    each_piece = sorted(
        (
            ([known.index(pose) for pose in choice], piece.shape)
            for choice, piece in zip(poses, problem.pieces, strict=True)
        ),
        reverse=True,
    )
    choices, shapes = zip(*each_piece, strict=True)
    bodies = [(body, shapely.Polygon(body.outline.points)) for body in problem.bodies]

    @cache
    def clear(one, other, dx, dy):
        first = shapely.Polygon(known[one].points)
        second = shapely.Polygon(shifted(known[other].points, dx, dy))
        apart = not shapely.relate_pattern(first, second, "T********")
        return apart and first.distance(second) >= problem.gap - 1e-9

    @cache
    def on_cloth(shape, pose, x, y):
        lying = shapely.Polygon(shifted(known[pose].points, x, y))
        return all(
            not shapely.relate_pattern(lying, there, "T********")
            and lying.distance(there) >= body.clearance - 1e-9
            for body, there in bodies
            if shape not in body.open_to
        )

    def alike(index):
        return index > 0 and each_piece[index] == each_piece[index - 1]

    def fits(length, placed):
        """Tell whether the pieces still to be placed fit beside those that are."""
        if len(placed) == len(choices):
            return True
        for pose in choices[len(placed)]:
            xs = range(length - known[pose].length + 1)
            ys = range(problem.width - known[pose].height + 1)
            for x, y in product(xs, ys):
                # pieces alike lie from left to right: one of many equal lays is enough
                if alike(len(placed)) and placed[-1][1:] > (x, y):
                    continue
                if not on_cloth(shapes[len(placed)], pose, x, y):
                    continue
                if all(clear(other, pose, x - u, y - v) for other, u, v in placed) and fits(
                    length, [*placed, (pose, x, y)]
                ):
                    return True
        return False

    least = max(min(known[pose].length for pose in choice) for choice in choices)
    lengths = count(least) if problem.length is None else range(least, problem.length + 1)
    return next((length for length in lengths if fits(length, [])), None)
