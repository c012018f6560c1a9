"""The shapes that a gored pouf may have, from its measurements.

``squashed`` is an ellipse with the half axes a = D/2 across and b in height,
cut off where it is as wide as each cap; b follows from the finished height H,
cap plane to cap plane: H = b·(√(1 - (c₁/D)²) + √(1 - (c₂/D)²)). ``sphere`` has
b = a. ``drum`` has a straight side between such ends. ``points`` is given by
the radius at heights.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Point
from nesting.panels.measurements import (
    Values,
    given_length,
    length,
    points,
    word,
)
from nesting.panels.parts.gored.profiles import (
    ellipse,
    half_profiles,
    profile_through,
    solid_litres,
)
from nesting.sentences import Length, Lengths, Sentence, at_least, at_most, less_than

SQUASHED: Final = "squashed"
SPHERE: Final = "sphere"
DRUM: Final = "drum"
POINTS: Final = "points"

#: Least size in millimetres of a cap or a pouf that can be sewn and turned.
_LEAST_CAP_MM = 10.0
_LEAST_HEIGHT_MM = 20.0

#: Height to diameter, at least and at most: flatter ones fold at the equator
#: (a round cushion), taller ones are bolsters.
_FLATTEST, _TALLEST = 1 / 10, 10.0

#: Millimetres that the widest of given points may be off the diameter.
_STATED_MM = 0.5

_CAPS: Final = ("cap_diameter", "bottom_cap_diameter")

#: Keys that apply only to some shapes.
_PROFILES_BY_KEY: Final = {
    "height": (SQUASHED, DRUM),
    "bottom_cap_diameter": (SQUASHED, SPHERE, DRUM),
    "side_height": (DRUM,),
    "profile_points": (POINTS,),
}


@dataclass(frozen=True)
class PoufShape:
    """Caps (0: a point), heights and half profiles; ``side`` is the straight side's height."""

    diameter: float
    height: float
    top_cap: float
    bottom_cap: float
    side: float
    given: tuple[Point, ...] = ()

    @cached_property
    def half_profiles(self) -> tuple[list[Point], list[Point]]:
        """Profiles from the widest place up and down, without the straight side."""
        if self.given:
            return half_profiles(profile_through(self.given))
        across = self.diameter / 2
        share = _upright(self.top_cap, self.diameter) + _upright(self.bottom_cap, self.diameter)
        high = (self.height - self.side) / share
        return (
            ellipse(across, high, self.top_cap / 2),
            ellipse(across, high, self.bottom_cap / 2),
        )

    @property
    def litres(self) -> float:
        """Volume of the solid of revolution of the profile."""
        straight = math.pi * self.diameter**2 / 4 * self.side / 1e6
        return straight + sum(solid_litres(half) for half in self.half_profiles)


def shape_of(values: Values) -> PoufShape:
    """The shape described by measurements that have no faults."""
    diameter, profile = length(values, "diameter"), word(values, "profile")
    if profile == POINTS:
        given = points(values, "profile_points")
        tall = given[-1][0] - given[0][0]
        return PoufShape(diameter, tall, 2 * given[-1][1], 2 * given[0][1], 0.0, given)
    top = length(values, "cap_diameter")
    bottom = given_length(values, "bottom_cap_diameter", top)
    sphere = diameter / 2 * (_upright(top, diameter) + _upright(bottom, diameter))
    height = given_length(values, "height", sphere)
    side = given_length(values, "side_height", height / 2) if profile == DRUM else 0.0
    return PoufShape(diameter, height, top, bottom, side)


def _upright(cap: float, diameter: float) -> float:
    """Sine of the parameter at which the profile is as wide as the cap."""
    return math.sqrt(1 - (cap / diameter) ** 2)


def shape_faults(values: Values) -> tuple[Fault, ...]:
    """Measurements that do not apply to a profile, or that no such pouf can have."""
    useless = _useless(values)
    if word(values, "profile") == POINTS:
        return useless or _points_faults(values)
    caps = tuple(fault for key in _CAPS for fault in _cap(values, key))
    if useless or any(_wide(values, key) for key in _CAPS):
        return (*useless, *caps)
    if word(values, "profile") == DRUM and values["height"] is None:
        remedy = "give the finished height, straight side and both gored ends"
        return (*caps, Fault("height", 'must be given for profile = "drum"', "absent", remedy))
    return (*caps, *_height_faults(values))


def _useless(values: Values) -> tuple[Fault, ...]:
    profile = word(values, "profile")
    faults = [
        Fault(key, f'has no effect with profile = "{profile}"', f"{values[key]}", "remove it")
        for key, profiles in _PROFILES_BY_KEY.items()
        if values[key] is not None and profile not in profiles
    ]
    if profile == POINTS and length(values, "cap_diameter"):
        rule = "follows from the last of profile_points"
        cap = Length(length(values, "cap_diameter"))
        faults.append(Fault("cap_diameter", rule, cap, "remove it"))
    return tuple(faults)


def _wide(values: Values, key: str) -> bool:
    return given_length(values, key, 0.0) >= length(values, "diameter")


def _cap(values: Values, key: str) -> tuple[Fault, ...]:
    diameter, cap = length(values, "diameter"), given_length(values, key, 0.0)
    if _wide(values, key):
        return (
            Fault(
                key,
                Sentence("must be less than the diameter of the pouf ({})", (less_than(diameter),)),
                Length(cap),
                "make the cap narrower or the pouf wider",
            ),
        )
    if 0 < cap < _LEAST_CAP_MM:
        rule = Sentence("must be 0 or at least {}", (at_least(_LEAST_CAP_MM),))
        return (Fault(key, rule, Length(cap), "give 0 for gores that meet in points"),)
    return ()


def _height_faults(values: Values) -> tuple[Fault, ...]:
    shape = shape_of(values)
    least = max(_LEAST_HEIGHT_MM, _FLATTEST * shape.diameter)
    greatest = _TALLEST * shape.diameter
    within = "must be between {} and {} for a diameter of {}"
    parts = at_least(least), at_most(greatest), Length(shape.diameter)
    if values["height"] is None and not least <= shape.height <= greatest:
        words = f"leaves a sphere too little height between its caps, which {within}"
        remedy = "give a narrower cap, or the height"
        tall = Length(round(shape.height, 1))
        return (Fault("cap_diameter", Sentence(words, parts), tall, remedy),)
    if not least <= shape.height <= greatest:
        remedy = "a flatter one is a cushion, a taller one a bolster"
        return (Fault("height", Sentence(within, parts), Length(shape.height), remedy),)
    if shape.height - shape.side < least:
        words = "must leave at least {} of the height for the two gored ends"
        remedy = "make the straight side lower; a drum with flat ends is a drum-pouf"
        rule = Sentence(words, (at_least(least),))
        return (Fault("side_height", rule, Length(shape.side), remedy),)
    return ()


def _points_faults(values: Values) -> tuple[Fault, ...]:
    place, diameter = "profile_points", length(values, "diameter")
    if values[place] is None:
        remedy = "give [height, radius] from the bottom to the top, at least three"
        return (Fault(place, 'must be given for profile = "points"', "absent", remedy),)
    given = points(values, place)
    heights, radii = [h for h, _ in given], [r for _, r in given]
    faults = []
    if any(after - before < 1 for before, after in pairwise(heights)):
        rule = Sentence("must rise by at least {} from each point to the next", (at_least(1),))
        remedy = "give [height, radius] from the bottom to the top"
        each = Lengths(", ".join("{}" for _ in heights), tuple(heights))
        faults.append(Fault(place, rule, each, remedy))
    thin = min([*radii[1:-1], *(end for end in (radii[0], radii[-1]) if end)], default=0.0)
    if thin < _LEAST_CAP_MM / 2:
        words = "must have radii of at least {}, but 0 where gores end"
        rule = Sentence(words, (at_least(_LEAST_CAP_MM / 2),))
        faults.append(Fault(place, rule, Length(thin), "make it wider there"))
    if abs(2 * max(radii) - diameter) > _STATED_MM:
        words = "must be half the diameter ({}) where they are widest"
        rule = Sentence(words, (Length(diameter / 2),))
        remedy = "correct the points or the diameter"
        faults.append(Fault(place, rule, Length(max(radii)), remedy))
    return tuple(faults)
