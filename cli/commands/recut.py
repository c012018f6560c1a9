"""``recut``: plans again what was spoiled while an order was cut."""

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from cli.cutter import MachineTool, read_corner, read_tool
from cli.interruption import Interruption
from cli.lay_files import Wanted, write_lay
from cli.monitor import monitor
from cli.options import (
    LAY_FORMATS_DEFAULT,
    CsvSeparator,
    Json,
    LayFormats,
    MarkedFace,
    Out,
    Quiet,
    Seed,
    Steps,
    StockFile,
    Workers,
    read_face,
    read_formats,
    read_search,
    read_separator,
)
from cli.out import check_out
from cli.reading import about, order_from
from cli.screen import ExitStatus, say
from cli.summary import again_lines, lay_summary
from nesting.errors import Fault, OrderError, written
from nesting.exporters.formats import LAY_FORMATS, LAY_MACHINE_FORMATS

if TYPE_CHECKING:
    from nesting.cloth.stock import Flaw
    from nesting.orders.order import Order
    from nesting.planning.plan_again import Damages

SecondsAgain = Annotated[
    str | None, typer.Option("--seconds", metavar="S", help="Search time.  [default: 2]")
]
Folder = Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder of a lay.")]
Spoiled = Annotated[
    list[str] | None,
    typer.Option(
        "--spoiled",
        metavar="LABEL",
        help="A panel to cut again: ITEM / PANEL / COPY.PART (repeatable).",
    ),
]
Flaws = Annotated[
    list[str] | None,
    typer.Option(
        "--flaw",
        metavar="PLACE",
        help="A flaw that was found: AT ALONG, AT ACROSS, ALONG, ACROSS (repeatable).",
    ),
]
CutTo = Annotated[
    str | None,
    typer.Option(
        "--cut-to",
        metavar="LENGTH",
        help="What lies wholly before it is cut already.  [default: all is cut]",
    ),
]
ClothName = Annotated[
    str | None, typer.Option("--cloth", metavar="NAME", help="The cloth that was being cut.")
]
PieceName = Annotated[
    str | None,
    typer.Option("--piece", metavar="NAME", help="The piece of that cloth that was being cut."),
]
TheOrder = Annotated[
    Path | None,
    typer.Option(
        "--order", metavar="ORDER", help="The order.  [default: the one that FOLDER was made for]"
    ),
]

#: Seconds of the search unless they are given: who stands at the table waits for the answer.
_SECONDS = "2"

_LABEL = "ITEM / PANEL / COPY.PART, as it is written on the panel"


@dataclass(frozen=True)
class _Lay:
    """The lay in a folder: its record, and the pieces of cloth that its panels lie on."""

    record: dict[str, Any]

    @property
    def on(self) -> dict[str, tuple[str, str]]:
        """Cloth and piece that each panel lies on, by its label."""
        return {
            f"{p['item']} / {p['panel']} / {p['copy']}.{p['part']}": (cloth["name"], p["piece"])
            for cloth in self.record["cloths"]
            for p in cloth["placements"]
        }


def recut_lay(
    folder: Folder,
    *,
    spoiled: Spoiled = None,
    flaw: Flaws = None,
    cut_to: CutTo = None,
    cloth: ClothName = None,
    piece: PieceName = None,
    order_file: TheOrder = None,
    stock: StockFile = None,
    out: Out = None,
    seconds: SecondsAgain = None,
    steps: Steps = None,
    seed: Seed = None,
    workers: Workers = None,
    formats: LayFormats = LAY_FORMATS_DEFAULT,
    face: MarkedFace = "up",
    csv_separator: CsvSeparator = ",",
    tool: MachineTool = None,
    quiet: Quiet = False,
    as_json: Json = False,
) -> ExitStatus:
    """Plan again what was spoiled while an order was cut.

    What is cut already lies still. Spoiled panels, and those that a new flaw
    lies in, are planned again: on what is left of the same cloth, moving as few
    of the panels that are not cut yet as it can; then on other pieces of the
    same shade; then on cloth to buy. Writes a folder like lay. Its drawings
    show only what is still to be cut.
    """
    from nesting.planning.plan_again import must_be_sound, plan_again
    from nesting.planning.run import Run

    search = read_search(seconds or (None if steps else _SECONDS), steps, seed, workers)
    wanted = _wanted(formats, face, csv_separator, tool)
    target = out or folder.with_name(f"{folder.resolve().name}-recut")
    with Interruption() as interruption:
        lay = _lay_in(folder)
        named = order_file or _order_of(folder)
        order = order_from(named, stock)
        with about(folder / "layout.json"):
            order = must_be_sound(lay.record, order)
        damages = _damages(lay, order, (cloth, piece), spoiled or [], flaw or [], cut_to)
        check_out(target)
        with monitor(quiet, order.units, search.limits, lambda: interruption.asked) as shown:
            run = Run(
                search.limits, search.seed, search.workers or 1, shown.observe, shown.interrupted
            )
            with about(named):
                plan = plan_again(lay.record, order, damages, run)
        layout = write_lay(target, plan, wanted, named, quiet=quiet)
    if as_json:
        say(layout)
    elif not quiet:
        say(lay_summary(plan, target))
        for line in again_lines(plan.lay):
            say(line)
    return ExitStatus.INTERRUPTED if interruption.asked else ExitStatus.DONE


def _wanted(formats: str, face: str, separator: str, tool: str | None) -> Wanted:
    from nesting.drawings.hpgl.writer import Plotter

    chosen = read_formats(formats, LAY_FORMATS)
    head = read_tool(tool, chosen, LAY_MACHINE_FORMATS)
    corner = read_corner("cut-end-lower")
    return Wanted(
        chosen, read_face(face), corner, False, Plotter(), read_separator(separator), head
    )


def _lay_in(folder: Path) -> _Lay:
    from nesting.verification.checker import read_json

    file = folder / "layout.json"
    with about(file):
        record: Any = read_json(file)
        if isinstance(record, dict) and record.get("schema") == "clothwright/layout/1":
            rule = "was made by an older version, which did not tell the pieces of cloth"
            raise OrderError([Fault("schema", rule, "", "lay the order again")])
    return _Lay(record)


def _order_of(folder: Path) -> Path:
    """The order that a folder was made for: as its list says, or the one beside it."""
    from nesting.writing.folder import order_of

    beside = folder.resolve().with_name(f"{folder.resolve().name.removesuffix('-lay')}.toml")
    found = next((file for file in (order_of(folder), beside) if file and file.exists()), None)
    if found is None:
        rule = "the order of this lay is not where it was"
        raise OrderError([Fault(str(folder), rule, "", "name it: --order ORDER")])
    return found


def _damages(
    lay: _Lay,
    order: "Order",
    named: tuple[str | None, str | None],
    spoiled: list[str],
    flaws: list[str],
    cut_to: str | None,
) -> "Damages":
    """What was spoiled and found on each piece; every fault of the options at once."""
    from nesting.planning.damage import Damage

    faults: list[Fault] = []
    places = lay.on
    labels = [_label(text, places, faults) for text in spoiled]
    end = None if cut_to is None else _length("--cut-to", cut_to, order, faults)
    found = [_flaw(text, order, faults) for text in flaws]
    hurt = {places[label] for label in labels if label in places}
    here = _being_cut(places, named, hurt, faults) if flaws or not labels else None
    if faults:
        raise OrderError(faults)
    if here and flaws:
        _must_lie_on(lay, here, [each for each in found if each], flaws)
    hurt |= {here} if here else set()
    return {
        place: Damage(
            frozenset(label for label in labels if places[label] == place),
            tuple(each for each in found if each) if place == here else (),
            end,
        )
        for place in hurt
    }


def _label(text: str, places: dict[str, tuple[str, str]], faults: list[Fault]) -> str:
    label = " / ".join(part.strip() for part in text.split("/"))
    if label not in places:
        near = get_close_matches(label, places, 1)
        advice = f'did you mean "{near[0]}"?' if near else _LABEL
        faults.append(Fault("--spoiled", "no such panel lies here", written(text), advice))
    return label


def _length(option: str, text: str, order: "Order", faults: list[Fault]) -> int:
    from cli.options import read_length
    from nesting.units import to_grid

    try:
        return to_grid(read_length(option, text, order.units))
    except OrderError as error:
        faults += error.faults
        return 0


def _flaw(text: str, order: "Order", faults: list[Fault]) -> "Flaw | None":
    from nesting.cloth.stock import Flaw
    from nesting.geometry.outline import Outline

    parts = text.split(",")
    if len(parts) != 4:
        rule = "must be four lengths: AT ALONG, AT ACROSS, ALONG, ACROSS"
        advice = 'for example --flaw "120 cm, 30 cm, 4 cm, 6 cm"'
        faults.append(Fault("--flaw", rule, written(text), advice))
        return None
    before = len(faults)
    x, y, along, across = (_length("--flaw", part.strip(), order, faults) for part in parts)
    if len(faults) > before:
        return None
    if along <= 0 or across <= 0 or x < 0 or y < 0:
        rule = "must have a size above 0, at 0 or more from the cut end and the lower edge"
        faults.append(Fault("--flaw", rule, written(text), "check the four lengths"))
        return None
    ring = ((x, y), (x + along, y), (x + along, y + across), (x, y + across))
    return Flaw(Outline(ring), "found while cutting")


def _being_cut(
    places: dict[str, tuple[str, str]],
    named: tuple[str | None, str | None],
    hurt: set[tuple[str, str]],
    faults: list[Fault],
) -> tuple[str, str] | None:
    """The piece that was being cut: the one named, that of the spoiled panels, or the only one."""
    every = dict.fromkeys(places.values())
    cloth, piece = named
    fitting = [
        place
        for place in (every if any(named) or not hurt else hurt)
        if cloth in (None, place[0]) and piece in (None, place[1])
    ]
    if len(fitting) == 1:
        return fitting[0]
    listed = ", ".join(f'--cloth "{one}" --piece "{other}"' for one, other in every)
    rule = "must say which piece of cloth was being cut" if fitting else "nothing lies on that"
    faults.append(Fault("--cloth, --piece", rule, "", f"one of {listed}"))
    return None


def _must_lie_on(lay: _Lay, here: tuple[str, str], found: "list[Flaw]", texts: list[str]) -> None:
    """Refuse flaws that do not lie on the piece that was being cut."""
    from nesting.units import to_grid

    (piece,) = (
        piece
        for cloth in lay.record["cloths"]
        if cloth["name"] == here[0]
        for piece in cloth["pieces"]
        if piece["name"] == here[1]
    )
    length = to_grid(piece["length_mm"] or piece["buy_length_mm"])
    width = to_grid(piece["width_mm"])
    faults = [
        Fault("--flaw", "must lie on the cloth", written(text), "check its four lengths")
        for flaw, text in zip(found, texts, strict=True)
        if flaw.outline.bounds[2] > length or flaw.outline.bounds[3] > width
    ]
    if faults:
        raise OrderError(faults)
