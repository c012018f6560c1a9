"""The integer grid and the units people write.

Inside the library every length is a whole number of grid units of 0.01 mm
and carries no unit in its name; at the edges a length in millimetres is
called ``..._mm``.
"""

from typing import Final

GRID_PER_MM: Final = 100

#: Grid units in each unit that an order may name; inch exact since 1959
#: (international yard and pound agreement: 1 yd = 0.9144 m).
MM: Final = GRID_PER_MM
CM: Final = 10 * MM
M: Final = 1000 * MM
IN: Final = 2540
FT: Final = 12 * IN
YD: Final = 36 * IN

#: No length in an order may exceed this: 1 km keeps every product of two
#: coordinates far inside 64 bits.
LARGEST: Final = 1000 * M


def to_grid(length_mm: float) -> int:
    """Nearest grid length of a length in millimetres."""
    return round(length_mm * GRID_PER_MM)


def to_mm(length: float) -> float:
    """Millimetres of a length in grid units."""
    return length / GRID_PER_MM
