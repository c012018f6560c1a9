"""Every epsilon of the project: its value, its unit and its reason."""

from typing import Final

#: Millimetres that a chord may lie inside the true curve. A chalk line is
#: about 1 mm wide; a twentieth of it keeps the vertex count of a cap near 70.
CHORD_MM: Final = 0.05

#: Millimetres that two sewn edges may differ at the stitch line when no ease
#: is declared (pattern makers true seams to 1/16 in, that is 1.6 mm).
SEAM_MM: Final = 1.0

#: Millimetres of depth that the checker puts down to rounding, never more.
DEPTH_MM: Final = 0.02

#: A corner's mitre may reach this many allowances from the stitch corner;
#: sharper corners (the points of a gore) are squared off instead.
MITRE_LIMIT: Final = 2.0
