"""``widths``: compares rolls to find the one to buy."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli.interruption import Interruption
from cli.monitor import monitor
from cli.options import (
    Json,
    OrderFile,
    Out,
    Quiet,
    Seconds,
    Seed,
    Steps,
    StockFile,
    Workers,
    is_bare,
    read_length,
    read_search,
)
from cli.out import beside, check_out, write_out
from cli.reading import about, order_from
from cli.screen import ExitStatus, json_text, say
from cli.summary import comparison_summary
from nesting.errors import Fault, OrderError, written

if TYPE_CHECKING:
    from cli.options import Search
    from nesting.cloth.cloth import Cloth
    from nesting.orders.order import Order
    from nesting.purchasing import Comparison


def compare_widths(
    order_file: OrderFile,
    *,
    width: Annotated[
        list[str] | None,
        typer.Option(
            "--width", metavar="WIDTH", help="A width that the cloth may have (repeatable)."
        ),
    ] = None,
    rolls: Annotated[
        Path | None,
        typer.Option(
            "--rolls",
            metavar="FILE",
            help="Rolls to choose from: version, name, units and [[cloth]] tables as in an order.",
        ),
    ] = None,
    cloth: Annotated[
        str | None,
        typer.Option("--cloth", metavar="NAME", help="The cloth of the order to buy."),
    ] = None,
    stock: StockFile = None,
    out: Out = None,
    seconds: Seconds = None,
    steps: Steps = None,
    seed: Seed = None,
    workers: Workers = None,
    quiet: Quiet = False,
    as_json: Json = False,
) -> ExitStatus:
    """Compare rolls by what the buyer pays.

    Lays the panels of one cloth on each roll and ranks the rolls by cost, or by
    the area bought if a price is missing. Writes widths.json and the files of
    the best lay plan.
    """
    search = read_search(seconds, steps, seed, workers)
    folder = out or beside(order_file, "widths")
    with Interruption() as interruption:
        order = order_from(order_file, stock)
        replaced = _cloth_to_buy(order, cloth)
        candidates = _candidates(order, replaced, width or [], rolls)
        comparison = _compare(
            order, replaced, candidates, search, interruption, folder=folder, quiet=quiet
        )
        record = _write(folder, comparison)
    if as_json:
        say(record)
    elif not quiet:
        say(comparison_summary(comparison, folder, own_prices=rolls is not None))
    if interruption.asked:
        return ExitStatus.INTERRUPTED
    return ExitStatus.DONE if comparison.best else ExitStatus.FINDINGS


def _cloth_to_buy(order: "Order", named: str | None) -> "Cloth":
    """The cloth of the order that is to be bought."""
    used = {name for item in order.items for name in (item.cloth, *item.panel_cloths.values())}
    known = {cloth.name: cloth for cloth in order.cloths if cloth.name in used}
    listed = ", ".join(map(written, known))
    if named is None and len(known) > 1:
        rule = "must say which cloth to buy, because the order has several"
        raise OrderError([Fault("--cloth", rule, "", f"one of {listed}")])
    if named is not None and named not in known:
        rule = "nothing in the order is cut from this cloth"
        raise OrderError([Fault("--cloth", rule, written(named), f"one of {listed}")])
    return known[named] if named is not None else next(iter(known.values()))


def _candidates(
    order: "Order", replaced: "Cloth", widths: list[str], rolls: Path | None
) -> "tuple[Cloth, ...]":
    """The order's cloth in every given width, then the rolls of the file."""
    from nesting.orders.rolls import read_rolls

    if not widths and rolls is None:
        advice = "for example --width 112cm --width 140cm, or --rolls FILE"
        raise OrderError([Fault("--width, --rolls", "there is nothing to compare", "", advice)])
    faults: list[Fault] = []
    wide = [_in_width(replaced, text, order.units, faults) for text in widths]
    if faults:
        raise OrderError(faults)
    listed: tuple[Cloth, ...] = ()
    if rolls is not None:
        with about(rolls):
            listed = read_rolls(rolls)
    return tuple({cloth.name: cloth for cloth in (*wide, *listed)}.values())


def _in_width(cloth: "Cloth", text: str, units: str, faults: list[Fault]) -> "Cloth":
    """The cloth in another width; its other rules and its price per length stay the same."""
    from nesting.units import format_length, to_grid

    try:
        width = to_grid(read_length("--width", text, units))
    except OrderError as error:
        faults += error.faults
        return cloth
    if width <= 2 * cloth.selvedge:
        edges = format_length(2 * cloth.selvedge, units)
        rule = f"must be wider than both selvedges of {written(cloth.name)}, {edges}"
        faults.append(Fault("--width", rule, written(text), "check the number and its unit"))
    shown = f"{text} {units}" if is_bare(text) else text
    return replace(cloth, name=f"{cloth.name}, {shown} wide", width=width)


def _compare(
    order: "Order",
    replaced: "Cloth",
    candidates: "tuple[Cloth, ...]",
    search: "Search",
    interruption: Interruption,
    *,
    folder: Path,
    quiet: bool,
) -> "Comparison":
    check_out(folder)
    with monitor(quiet, order.units, search.limits, lambda: interruption.asked) as shown:
        from nesting.purchasing import compare_rolls

        return compare_rolls(
            order,
            replaced.name,
            candidates,
            search.limits,
            seed=search.seed,
            workers=search.workers,
            observe=shown.observe,
            interrupted=shown.interrupted,
        )


def _write(folder: Path, comparison: "Comparison") -> str:
    """Write the comparison and its best lay, if any, and return the text of widths.json."""
    from nesting.planning.files import lay_files
    from nesting.purchasing import as_record

    text = json_text(as_record(comparison))
    if comparison.best and comparison.best.plan:
        files = lay_files(comparison.best.plan)
        write_out(folder, {"widths.json": f"{text}\n".encode(), **files})
    return text
