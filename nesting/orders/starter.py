"""The sample order that a maker starts from."""

from typing import Final

#: A commented order file that is valid without changes.
STARTER: Final = """\
# An order: what is to be made, and from which cloth. Whatever follows a # is a
# remark. Change what you need and take out what you do not; a key with a #
# before it shows what else can be said.
#
# A length is a bare number, in the units named below, or text with its own
# unit: "38 cm", "25 1/2 in", "5 ft 6 in", "1 m", "2 yd".

version = 1               # of this kind of file; leave it at 1
name = "Garden room"      # what you call the order
units = "cm"              # mm, cm or in: the unit of every bare number below


# ---- The cloth: one [[cloth]] for each that you cut from ---------------------

[[cloth]]
name = "sage canvas"      # the items below call it by this name
width = 150               # edge to edge; measure it where it is narrowest
selvedge = 1.2            # strip along each edge that must not be used
nap = "up-and-down"       # "one-way": every panel points the same way; say so
                          #   for a pile or a motif with a top, and in doubt
                          # "up-and-down": all panels of one item do
                          # "either-way": each may be turned end for end
# cross_grain = true      # panels may also lie a quarter round (not one-way)
price_per_metre = 21.40   # or price_per_yard; without either no costs are shown
currency = "EUR"
buy_step = 10             # the shop sells it by every 10 cm
gap = 0.4                 # clear cloth between panels, for knife or shears
end_allowance = 1.5       # left at each cut end
# roll_length = "12 m"    # most to buy in one piece (own roll: no buy_step)
# coating = "unknown"     # or "pvc", "polyurethane": may it be cut hot?
# may_buy = false         # cut only from pieces that are there, see below

# [[cloth.flaw]]          # a flaw of the roll that you buy: nothing lies on it
# at = [120, 30]          # from the cut end, and from the lower edge
# size = [4, 6]           # along the cloth, and across it
# what = "oil stain"

# [[cloth.stock]]         # a piece that is there; a hide has an outline instead
# name = "remnant"
# length = 90             # along the grain
# width = 60
# price = 0               # already paid


# ---- What is made: one [[item]] for each -------------------------------------
# Sizes are finished sizes, as sewn. `clothwright products` lists what can be
# made; `clothwright products box-cushion` tells which sizes it takes.

[[item]]
product = "box-cushion"
name = "bench seat"       # stands on each of its panels
quantity = 2
cloth = "sage canvas"
seam_allowance = 1.5      # added along every edge; 1 cm if you say nothing, and
                          #   0 if the sizes are cut sizes
length = 96               # along the grain, that is along the roll
width = 44                # across the grain
thickness = 6

[[item]]
product = "round-cushion"
name = "stool pad"
quantity = 4
cloth = "sage canvas"
diameter = 34
thickness = 4

[[item]]
product = "gored-pouf"
name = "footrest"
quantity = 1
cloth = "sage canvas"
diameter = 46             # at its widest
height = 32               # leave it out for a ball
gores = 8
cap_diameter = 16         # the rounds at both ends; 0: the gores meet in points
# liner = "sage canvas"   # an inner bag for the filling, a little larger, from
                          #   this cloth or better from a close-woven one
"""
