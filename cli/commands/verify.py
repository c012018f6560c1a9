"""``verify``: checks a lay again."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli.options import Json
from cli.reading import about, order_from
from cli.screen import ExitStatus, json_text, say
from nesting.errors import AccessError, Fault, OrderError

if TYPE_CHECKING:
    from nesting.cloth.cloth import Cloth
    from nesting.drawings.drawing import Drawing
    from nesting.verification.findings import Finding

#: Suffixes of lay drawings; any other file counts as a layout file.
_DRAWINGS: Final = (".dxf", ".svg", ".plt", ".hpgl")


def verify_file(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A layout.json, or a lay drawing (DXF, SVG, PLT)."),
    ],
    order_file: Annotated[
        Path | None,
        typer.Option("--order", metavar="ORDER", help="The order that a drawing was made for."),
    ] = None,
    cloth: Annotated[
        str | None,
        typer.Option("--cloth", metavar="NAME", help="The cloth that a drawing shows."),
    ] = None,
    as_json: Json = False,
) -> ExitStatus:
    """Check a lay again from its outlines.

    This is a second opinion, by code that had no part in making the lay. A
    layout.json is checked by itself, a drawing against its order. If a format
    rounds coordinates or stores arcs, the check allows for that and says so.
    """
    within = 0.0
    if file.suffix.lower() in _DRAWINGS:
        findings, panels, within = _drawing_findings(file, order_file, cloth)
    else:
        _refuse_given({"--order": order_file, "--cloth": cloth})
        findings, panels = _record_findings(file)
    if as_json:
        record = {"panels": panels, "findings": [asdict(found) for found in findings]}
        say(json_text({**record, "within_mm": within} if within else record))
    else:
        _show(findings, panels, within)
    return ExitStatus.FINDINGS if findings else ExitStatus.DONE


def _show(findings: "tuple[Finding, ...]", panels: int, within: float) -> None:
    for found in findings:
        say(str(found))
    if not findings:
        allowed = f", within {within:.3f} mm for this format" if within else ""
        say(f"no findings: {panels} panels, every rule holds{allowed}")


def _refuse_given(options: dict[str, object]) -> None:
    faults = [
        Fault(name, "applies only to a lay drawing (DXF, SVG, PLT)", str(value), "leave it out")
        for name, value in options.items()
        if value is not None
    ]
    if faults:
        raise OrderError(faults)


def _record_findings(file: Path) -> "tuple[tuple[Finding, ...], int]":
    """Findings about a layout file, and how many panels it has."""
    from nesting.verification.checker import check_file

    with about(file):
        findings = check_file(file)
    record = json.loads(file.read_bytes())
    return findings, sum(len(cloth["placements"]) for cloth in record["cloths"])


def _drawing_findings(
    file: Path, order_file: Path | None, cloth: str | None
) -> "tuple[tuple[Finding, ...], int, float]":
    """Findings about a drawing, how many cut lines it has, and how far it may be off (mm)."""
    if order_file is None:
        advice = "give the order: clothwright verify FILE --order ORDER"
        raise OrderError([Fault("FILE", "a lay drawing is checked against its order", "", advice)])
    order = order_from(order_file)
    from nesting.drawings.drawing import Pen
    from nesting.planning.auto_from_drawing import read_pieces
    from nesting.planning.cloth_panels import panels_from
    from nesting.planning.order_panels import cloths_used, make_order
    from nesting.verification.drawn import check_drawing

    with about(file):
        drawing = _read(file)
    shown = _find_cloth(cloths_used(order), cloth, drawing, file)
    with about(order_file):
        made = make_order(order, read_pieces(order, shown, drawing)).made
    findings = check_drawing(drawing, shown, panels_from(shown, made).panels)
    return findings, sum(path.pen is Pen.CUT for path in drawing.paths), drawing.within


def _read(file: Path) -> "Drawing":
    from nesting.drawings.dxf import reader as dxf_reader
    from nesting.drawings.hpgl import reader as hpgl_reader
    from nesting.drawings.svg import reader as svg_reader

    data = _bytes_of(file)
    if file.suffix.lower() == ".dxf":
        return dxf_reader.read(data)
    return svg_reader.read(data) if file.suffix.lower() == ".svg" else hpgl_reader.read(data)


def _bytes_of(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        msg = f"{file} cannot be read: {error.strerror or error}: check its name"
        raise AccessError(msg) from None


def _find_cloth(
    cloths: "tuple[Cloth, ...]", named: str | None, drawing: "Drawing", file: Path
) -> "Cloth":
    """The cloth that a drawing shows: as given, by title, by file name, or the only one."""
    from nesting.cloth.naming import file_name

    known = {cloth.name: cloth for cloth in cloths}
    if named is not None:
        if named not in known:
            listed = ", ".join(f'"{name}"' for name in known)
            raise OrderError(
                [Fault("--cloth", "nothing is cut from this cloth", named, f"one of {listed}")]
            )
        return known[named]
    if drawing.title in known:
        return known[drawing.title]
    by_file = [cloth for cloth in cloths if file_name(cloth.name) == file.name.split(".")[0]]
    if len(by_file or cloths) == 1:
        return (by_file or cloths)[0]
    listed = ", ".join(f'"{name}"' for name in known)
    rule = "must say which cloth the drawing shows"
    raise OrderError([Fault("--cloth", rule, "", f"one of {listed}")])
