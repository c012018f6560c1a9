"""Checks a layout of an open instance in its own coordinates, with shapely alone.

It uses nothing of the packer: outlines come from the numbers in the file, are
turned about the origin and shifted as the placements say.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import shapely
from shapely import affinity

from benchmarks.instances import Instance, Kind, Placed
from nesting.verification.separation import overlaps

#: Depth that counts as rounding, as a share of the strip's width: a tenth of a grid
#: unit where the data are exact on the grid.
ROUNDING: Final = 1e-6


class UnprovenLayoutError(Exception):
    """A layout that breaks a rule of its instance."""


def prove(instance: Instance, placed: Sequence[Placed]) -> float:
    """Check every rule of the instance and return the used length, in its own unit.

    Raises
    ------
    UnprovenLayoutError
        With everything that is wrong.
    """
    polygons = [_polygon(instance, each) for each in placed]
    wrong = [*_counts(instance, placed), *_turns(instance, placed), *_places(instance, polygons)]
    if wrong:
        raise UnprovenLayoutError("\n".join(f"{instance.name}: {each}" for each in wrong))
    least, _, greatest, _ = shapely.total_bounds(polygons)
    return float(greatest - least)


def _polygon(instance: Instance, placed: Placed) -> shapely.Polygon:
    outline = _kinds(instance)[placed.piece].outline
    polygon = shapely.Polygon([(float(x), float(y)) for x, y in outline])
    turned = affinity.rotate(polygon, placed.turn_deg, origin=(0, 0))
    return affinity.translate(turned, placed.x, placed.y)


def _kinds(instance: Instance) -> dict[str, Kind]:
    return {kind.name: kind for kind in instance.kinds}


def _counts(instance: Instance, placed: Iterable[Placed]) -> Iterator[str]:
    laid = Counter(each.piece for each in placed)
    for kind in instance.kinds:
        if laid[kind.name] != kind.quantity:
            yield f"{kind.name} is laid {laid[kind.name]} times, not {kind.quantity}"


def _turns(instance: Instance, placed: Iterable[Placed]) -> Iterator[str]:
    kinds = _kinds(instance)
    for each in placed:
        if each.turn_deg not in kinds[each.piece].turns:
            yield f"{each.piece} is turned by {each.turn_deg} degrees"


def _places(instance: Instance, polygons: Sequence[shapely.Polygon]) -> Iterator[str]:
    width = float(instance.strip_width)
    slack = ROUNDING * width
    for index, polygon in enumerate(polygons):
        x, low, _, high = polygon.bounds
        if x < -slack or low < -slack or high > width + slack:
            yield f"placement {index} is not on the strip"
    for pair in overlaps(polygons, deeper_than=slack):
        yield f"placements {pair.first} and {pair.second} overlap by {pair.depth:g}"
