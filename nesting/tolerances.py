"""Every tolerance of the project: its value, its unit and its reason."""

from typing import Final

#: Millimetres that a chord may lie inside the true curve. A chalk line is
#: about 1 mm wide; a twentieth of it keeps the vertex count of a cap near 70.
CHORD_MM: Final = 0.05

#: Millimetres that the vertices of chords may lie off the arc that replaces
#: them. Rounding outward moves each up to 0.014 mm off the true curve, and the
#: three that define the arc pass their error on to the others.
ARC_MM: Final = 0.03

#: Millimetres that an arc in a file may lie off the chords that replace it on reading.
READ_MM: Final = 0.005

#: Millimetres that the ends of two lines in a maker's drawing may lie apart and
#: still count as joined; a tenth of a chalk line.
JOIN_MM: Final = 0.1

#: Millimetres by which HP-GL rounds each coordinate: half its unit of 0.025 mm.
PLOT_MM: Final = 0.0125

#: Millimetres that two sewn edges may differ at the stitch line when no ease
#: is declared (pattern makers true seams to 1/16 in, that is 1.6 mm).
SEAM_MM: Final = 1.0

#: Millimetres of overlap that the checker attributes to rounding.
DEPTH_MM: Final = 0.02

#: Millimetres of error in floating-point sums and turns of coordinates. A
#: coordinate of 1 km is exact to 1e-10 mm; shrinking an outline is less exact.
FLOAT_MM: Final = 1e-5

#: Millimetres that a length in a file may differ from the true one: half of its
#: last decimal place (0.01 mm).
STATED_MM: Final = 0.005 + FLOAT_MM

#: Error of a ratio in a file (efficiency, gap to the bound), which has four decimals.
STATED_RATIO: Final = 0.5e-4

#: Relative error of an area in a file: a panel of 0.1 m² is exact to 0.1 mm².
STATED_AREA: Final = 1e-6

#: How many allowances a mitre may reach from its stitch corner; sharper corners
#: (the points of a gore) are squared off instead.
MITRE_LIMIT: Final = 2.0

#: Share by which the area of a drawn outline may differ from that of a panel and still
#: match it. Rounding changes a strip of 20 mm by 0.2 per cent; cutting a strip into 48
#: pieces instead of 47 changes the pieces by 2 per cent.
ALIKE_AREA: Final = 0.01
