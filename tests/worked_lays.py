"""Panels and lays made by hand, for rooms that only need a lay to look at."""

import math
from decimal import Decimal

from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.geometry.outline import Outline, rounded_outward
from nesting.layouts.lay import ClothLay, OrderLay, PlacedPanel
from nesting.panels.panel import GrainRule, Notch, Panel
from nesting.units import CM, MM, M

ALLOWANCE = 10 * MM


def rectangle(length, height, **more):
    """A rectangular panel with a stitch line 1 cm inside and a notch in each long side."""
    cut = Outline(((0, 0), (length, 0), (length, height), (0, height)))
    a = ALLOWANCE
    stitch = Outline(((a, a), (length - a, a), (length - a, height - a), (a, height - a)))
    half = length // 2
    notches = (Notch((half, 0), (half, 7 * MM)), Notch((half, height), (half, height - 7 * MM)))
    return _panel(cut, stitch, notches, **more)


def stepped(length, height, **more):
    """A strip 2 cm narrower over its first quarter: not its own mirror image, however turned."""
    step, low = length // 4, height - 2 * CM
    a, half = ALLOWANCE, length // 2
    cut = Outline(((0, 0), (length, 0), (length, height), (step, height), (step, low), (0, low)))
    stitch = Outline(
        ((a, a), (length - a, a), (length - a, height - a), (step + a, height - a),
         (step + a, low - a), (a, low - a))
    )  # fmt: skip
    notches = (Notch((half, 0), (half, 7 * MM)), Notch((half, height), (half, height - 7 * MM)))
    return _panel(cut, stitch, notches, **more)


def disc(diameter, **more):
    """A round panel of 72 sides with a stitch line 1 cm inside and one notch."""
    radius = diameter / 2

    def ring(r):
        angles = [math.tau * i / 72 for i in range(72)]
        return [((radius + r * math.cos(t)) / MM, (radius + r * math.sin(t)) / MM) for t in angles]

    cut = Outline(rounded_outward(ring(radius)))
    stitch = Outline(rounded_outward(ring(radius - ALLOWANCE)))
    middle = round(radius)
    return _panel(cut, stitch, (Notch((middle, 0), (middle, 7 * MM)),), **more)


def gore(length, height, **more):
    """A pointed panel between two cosine arcs, as of a sphere."""
    steps = range(1, 24)

    def ring(inset):
        run, half = length - 2 * inset, height / 2 - inset
        arc = [(inset + run * i / 24, half * math.sin(math.pi * i / 24)) for i in steps]
        lower = [(x, height / 2 - y) for x, y in arc]
        upper = [(x, height / 2 + y) for x, y in reversed(arc)]
        ends = [(inset, height / 2)], [(length - inset, height / 2)]
        points = [*ends[0], *lower, *ends[1], *upper]
        return tuple((round(x), round(y)) for x, y in points)

    return _panel(Outline(ring(0)), Outline(ring(ALLOWANCE)), (), **more)


def _panel(cut, stitch, notches, *, name, item, per_item=1, quantity=1, **more):
    _, _, length, height = cut.bounds
    grain = ((length // 4, height // 3), (3 * length // 4, height // 3))
    label = (length // 2, height // 2)
    given = {"cloth": "teal twill", "allowance": ALLOWANCE, **more}
    return Panel(
        name=name, item=item, per_item=per_item, quantity=quantity, cut=cut, stitch=stitch,
        notches=notches, grain=grain, label=label, **given,
    )  # fmt: skip


TWILL = Cloth(
    name="teal twill",
    width=140 * CM,
    selvedge=15 * MM,
    nap=Nap.EITHER_WAY,
    price=Price(Decimal("18.5"), M, "EUR"),
    buy_step=10 * CM,
    gap=3 * MM,
    end_allowance=2 * CM,
)


def mixed_lay(cloth=TWILL):
    """Two plates, a boxing turned a quarter, a cap and two gores, one turned end for end.

    The boxing is lopsided, so that no mirror image of the lay passes for it.
    Used length by hand: the boxing lies from 44.3 to 54.3 cm, the gores end at
    2 + 62 = 64 cm, so 62 cm are used; 62 + 2 x 2 = 66 cm, bought 70 cm.
    """
    plate = rectangle(42 * CM, 32 * CM, name="plate", item="cushion", per_item=2)
    boxing = stepped(
        64 * CM, 10 * CM, name="boxing", item="cushion", grain_rule=GrainRule.ANY
    )  # fmt: skip
    cap = disc(20 * CM, name="cap", item="pouf")
    leaf = gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=2)
    start, low = cloth.end_allowance, cloth.selvedge
    placed = (
        PlacedPanel(plate, 1, 1, 0, start, low),
        PlacedPanel(plate, 1, 2, 180, start, low + 323 * MM),
        PlacedPanel(boxing, 1, 1, 90, start + 423 * MM, low),
        PlacedPanel(cap, 1, 1, 0, start, low + 650 * MM),
        PlacedPanel(leaf, 1, 1, 0, start, low + 860 * MM),
        PlacedPanel(leaf, 1, 2, 180, start, low + 1023 * MM),
    )
    return ClothLay(cloth, (plate, boxing, cap, leaf), placed, 55 * CM, proved_optimal=False)


def order_lay(*lays):
    """An order of the given cloth lays, by default the mixed one."""
    return OrderLay("Reading nook", 0, lays or (mixed_lay(),))
