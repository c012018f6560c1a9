"""Measures lays on cloth as it lies there: flaws, offcuts, hides, pieces with a known answer.

::

    python -m benchmarks.pieces [flaws] [hides] [known] [recut] [--seconds 60] [--seeds 3]

Without a name all are measured. One worker unless ``--workers`` says otherwise.
"""

import argparse
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from math import cos, pi, sin
from pathlib import Path
from statistics import median
from typing import Final

import numpy as np

from benchmarks.density import warm_up
from benchmarks.orders import SAMPLE
from cli.screen import columns
from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.errors import NotEnoughClothError
from nesting.geometry.outline import Outline
from nesting.layouts.cutting_list import PanelCopy, packing_problem
from nesting.layouts.measures import area2_for_panels
from nesting.layouts.piece_strip import PieceStrip, strip_of
from nesting.orders.order import Item, Order
from nesting.orders.reader import read_order
from nesting.packing.running import Limits, NoLayoutError, Solution
from nesting.packing.solver import solve
from nesting.panels.panel import Panel
from nesting.panels.product import products
from nesting.planning.items import make_item
from nesting.planning.plan import plan_order
from nesting.units import CM, M

#: Samples on which flaws are measured, and how many flaws lie on ten metres of cloth.
SAMPLES: Final = [SAMPLE.parent.parent / name / "order.toml" for name in ("poufs", "bench")]
FLAWS: Final = 10

#: Orders with a known answer: how many, and the seconds for each piece of the answer.
KNOWN: Final = 12
ANSWER_SECONDS: Final = 5.0

#: A figure, its target, and its measured value.
Row = tuple[str, str, str]


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure what is asked for and print it beside its target."""
    asked = _parser().parse_args(arguments)
    print(f"compiling took {warm_up():.1f} s and is not counted", file=sys.stderr)
    measures = {"flaws": flaws, "hides": hides, "known": known_answers, "recut": recut_seconds}
    rows: list[Row] = []
    for name in asked.what or measures:
        for row in measures[name](asked):
            print("  ".join(row), file=sys.stderr, flush=True)
            rows.append(row)
    print(columns([("figure", "target", "measured"), *rows]))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Measure lays on cloth as it lies there.")
    parser.add_argument("what", nargs="*", choices=["flaws", "hides", "known", "recut", []])
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seeds", type=int, default=3, help="runs of each search")
    parser.add_argument("--orders", type=int, default=KNOWN, help="orders with a known answer")
    parser.add_argument("--workers", type=int, default=1)
    return parser


def flaws(asked: argparse.Namespace) -> Iterator[Row]:
    """Ten flaws on ten metres: what they cost beside their own area."""
    for path in SAMPLES:
        order = read_order(path)
        for cloth in order.cloths:
            extra, own = [], []
            for seed in range(asked.seeds):
                flawed = replace(cloth, flaws=_scattered(cloth, seed))
                lengths = [
                    _used(replace(order, cloths=(one,)), asked, seed)[0] for one in (cloth, flawed)
                ]
                extra.append(lengths[1] - lengths[0])
                inside = [f for f in flawed.flaws if f.outline.bounds[0] < lengths[1]]
                own.append(sum(f.outline.area2 for f in inside) / (2 * cloth.usable_width))
            ratio = median(extra) / median(own)
            yield f"flaws, {order.name}, {cloth.name}", "below 2", f"{ratio:.2f}"


def _scattered(cloth: Cloth, seed: int) -> tuple[Flaw, ...]:
    """Flaws of 3 to 15 cm, one in each metre of ten."""
    random = np.random.default_rng(seed)
    found = []
    for metre in range(FLAWS):
        length, height = (int(n) for n in random.integers(3 * CM, 15 * CM, 2))
        x = metre * M + int(random.integers(0, M - length))
        y = int(random.integers(0, cloth.width - height))
        ring = ((x, y), (x + length, y), (x + length, y + height), (x, y + height))
        found.append(Flaw(Outline(ring), "flaw"))
    return tuple(found)


def _used(order: Order, asked: argparse.Namespace, seed: int) -> tuple[int, ...]:
    plan = plan_order(order, Limits(asked.seconds), seed=seed, workers=asked.workers)
    return tuple(lay.used_length for lay in plan.lay.cloths)


def hides(asked: argparse.Namespace) -> Iterator[Row]:
    """How densely panels fill an offcut and a hide, against the same panels on a strip."""
    for name, piece in (("an offcut", _offcut()), ("a hide with two holes", _hide())):
        ratios = [_against_strip(piece, asked, seed) for seed in range(asked.seeds)]
        share = f"{100 * median(ratios):.1f} %"
        yield f"density on {name}, against a strip", "at least 92 %", share


def _against_strip(piece: ClothPiece, asked: argparse.Namespace, seed: int) -> float:
    """Share of the piece that is filled, against that of a strip of its area by the same panels.

    The panels are as many of a mixed list as are found to fit the piece, by halving.
    """
    cloth = Cloth("leather", piece.width, nap=Nap.EITHER_WAY, cross_grain=True)
    area2 = area2_for_panels(cloth.on(piece), piece, piece.length or 0)
    square = Cloth("strip", round((area2 / 2) ** 0.5), nap=Nap.EITHER_WAY, cross_grain=True)
    cuts = _mixed(seed, area2)
    limits = Limits(asked.seconds / 4)

    def solution(count: int, on: PieceStrip) -> Solution:
        return solve(packing_problem(on, cuts[:count]), limits, seed=seed, workers=asked.workers)

    fewest, most = 1, len(cuts)
    while fewest < most:
        middle = (fewest + most + 1) // 2
        try:
            solution(middle, strip_of(cloth, [piece]))
            fewest = middle
        except NoLayoutError:
            most = middle - 1
    laid2 = sum(cut.panel.cut.area2 for cut in cuts[:fewest])
    length = solution(fewest, strip_of(square, [square.roll])).layout.used_length
    return (laid2 / area2) / (laid2 / (2 * length * square.width))


def _mixed(seed: int, area2: float) -> tuple[PanelCopy, ...]:
    """Panels of small poufs and cushions in a random order, of just the area given."""
    random = np.random.default_rng(seed)
    kinds = [
        _made("gored-pouf", {"diameter": 180.0, "gores": 6, "cap_diameter": 70.0}),
        _made("box-cushion", {"length": 240.0, "width": 180.0, "thickness": 40.0}),
        _made("panel", {"length": 150.0, "width": 110.0}),
    ]
    found: list[PanelCopy] = []
    left = area2
    while True:
        panels = kinds[random.integers(len(kinds))]
        panel = panels[random.integers(len(panels))]
        left -= panel.cut.area2
        if left < 0:
            return tuple(found)
        found.append(PanelCopy(panel, len(found) + 1, 1))


def _made(product: str, given: Mapping[str, float | int]) -> tuple[Panel, ...]:
    return make_item(_item_of(product, product, given)).panels


def _offcut() -> ClothPiece:
    """What was left of a sheet after a large round had been cut from its corner."""
    arc = [(70 * cos(a), 70 * sin(a)) for a in np.linspace(pi / 2, 0, 13)]
    ring = [(150, 0), (150, 110), (20, 120), (0, 100), *arc]
    return _piece("offcut", ring, [])


def _hide() -> ClothPiece:
    """A hide of our own drawing: neck, belly edges, shanks, and two holes."""
    around = np.linspace(0, 2 * pi, 48, endpoint=False)
    reach = 1 + 0.12 * np.cos(4 * around) + 0.05 * np.sin(3 * around)
    ring = [(105 * r * cos(a), 80 * r * sin(a)) for r, a in zip(reach, around, strict=True)]
    holes = [[(30, 10), (38, 12), (36, 20), (29, 18)], [(-50, -20), (-42, -22), (-44, -12)]]
    return _piece("hide", ring, holes)


def _piece(
    name: str, ring: Sequence[tuple[float, float]], holes: Sequence[Sequence[tuple[float, float]]]
) -> ClothPiece:
    """A piece with an outline in centimetres, moved so that its least corner is (0, 0)."""
    x0, y0 = min(x for x, _ in ring), min(y for _, y in ring)

    def outline(points: Sequence[tuple[float, float]]) -> Outline:
        return Outline(tuple((round((x - x0) * CM), round((y - y0) * CM)) for x, y in points))

    edge = outline(ring)
    _, _, length, width = edge.bounds
    return ClothPiece(name, width, length, outline=edge, holes=tuple(map(outline, holes)))


def known_answers(asked: argparse.Namespace) -> Iterator[Row]:
    """Lays of several pieces whose panels are laid again on all the pieces at once.

    First with nothing to be bought, then with a roll for what does not fit.
    """
    again, worst = 0, -1.0
    for seed in range(asked.orders):
        order, cost = known_answer(seed)
        fits = _cost(order, asked, seed, may_buy=False)
        paid = _cost(order, asked, seed, may_buy=True)
        again += fits is not None
        worst = max(worst, float((paid or Decimal(0)) / cost) - 1)
        found = f"all fit for {fits}" if fits else "not all fit"
        print(f"  order {seed}, {cost}: {found}; {paid} paid", file=sys.stderr, flush=True)
    yield "orders that fit again", f"{3 * asked.orders // 4} of {asked.orders}", str(again)
    yield "cost above the known answer, at worst", "at most 3 %", f"{100 * worst:.1f} %"


def _cost(order: Order, asked: argparse.Namespace, seed: int, *, may_buy: bool) -> Decimal | None:
    """What the pieces cost that an order is laid on; None if it does not fit."""
    cloths = tuple(replace(cloth, may_buy=may_buy) for cloth in order.cloths)
    limits = Limits(asked.seconds)
    try:
        plan = plan_order(replace(order, cloths=cloths), limits, seed=seed, workers=asked.workers)
    except NotEnoughClothError:
        return None
    return sum((lay.cost or Decimal(0) for lay in plan.lay.cloths), Decimal(0))


def known_answer(seed: int) -> tuple[Order, Decimal]:
    """An order, a roll and five remnants on which its panels are known to fit, and their cost.

    The panels of a few items are laid on each piece by itself, which is then cut
    off at the end of its lay.
    """
    random = np.random.default_rng(seed)
    price = Price(Decimal(20), M, "EUR")
    cloth = Cloth("twill", 140 * CM, nap=Nap.EITHER_WAY, price=price, buy_step=1 * CM, gap=200)
    pieces, items = [], []
    for number in range(6):
        own = [_item(random, f"item {number}.{i}") for i in range(2 if number else 6)]
        width = 140 * CM if number == 0 else int(random.integers(70, 141)) * CM
        narrow = replace(cloth, width=width)
        order = Order("part", "cm", (narrow,), tuple(own))
        plan = plan_order(order, Limits(ANSWER_SECONDS), seed=seed, workers=1)
        (lay,) = plan.lay.cloths
        share = Decimal("1" if number == 0 else "0.6")
        worth = (price.of(lay.used_length) * share).quantize(Decimal("0.01"))
        pieces.append(ClothPiece(f"P{number}", width, lay.used_length, price=worth))
        items += own
    whole = replace(cloth, stock=tuple(pieces))
    return Order("known", "cm", (whole,), tuple(items)), sum(
        (p.price or Decimal(0) for p in pieces), Decimal(0)
    )


def recut_seconds(asked: argparse.Namespace) -> Iterator[Row]:
    """Wall time of a recut of one spoiled panel among 36, from the start of its process."""
    command = str(Path(sysconfig.get_path("scripts")) / "clothwright")
    with tempfile.TemporaryDirectory() as folder:
        laid = Path(folder) / "laid"
        lay = (command, "lay", str(SAMPLE), "--steps", "20", "--out", str(laid), "--quiet")
        subprocess.run(lay, check=True)
        spoiled = ("--spoiled", "story pouf / gore / 1.7", "--quiet")
        times = []
        for _ in range(asked.seeds + 1):  # the first one loads from the disk
            began = time.perf_counter()
            subprocess.run((command, "recut", str(laid), *spoiled), check=True)
            times.append(time.perf_counter() - began)
    yield "recut of one panel among 36", "at most 5 s", f"{median(times[1:]):.1f} s"


def _item(random: np.random.Generator, name: str) -> Item:
    """A cushion or a pouf of some size."""
    if random.random() < 0.5:
        sides = random.integers(25, 60, 2) * 10.0
        given = {"length": float(max(sides)), "width": float(min(sides)), "thickness": 50.0}
        return _item_of("box-cushion", name, given)
    diameter = float(random.integers(30, 50) * 10)
    return _item_of("gored-pouf", name, {"diameter": diameter, "gores": 6, "cap_diameter": 120.0})


def _item_of(product: str, name: str, given: Mapping[str, float | int]) -> Item:
    values = {m.name: given.get(m.name, m.default) for m in products()[product].measurements}
    return Item(name, product, 1, "twill", 10.0, values)


if __name__ == "__main__":
    main()
