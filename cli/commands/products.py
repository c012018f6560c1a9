"""``products``: shows what can be made, and from which measurements."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from cli.new_file import write_new
from cli.options import Json, Units, read_units
from cli.screen import ExitStatus, columns, json_text, say, wrap
from cli.sketch import sketch
from nesting.errors import Fault, OrderError

if TYPE_CHECKING:
    from nesting.panels.making import Made
    from nesting.panels.measurements import Measurement, Value
    from nesting.panels.panel import Panel
    from nesting.panels.product import Product
    from nesting.units import Limit

#: Greatest width of a sketch, for the longest panel, and height, for the highest (characters).
_SKETCH_WIDTH, _SKETCH_HEIGHT = 60, 24
#: The key of every item that is filled.
_LINER_ROW = ["liner", "optional", "a cloth of the order", "inner bag a little larger than this"]
#: Panels are shown in finished sizes, without allowance.
_NO_ALLOWANCE = 0.0


def show_products(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="One product, in detail.")
    ] = None,
    units: Units = "cm",
    svg: Annotated[
        Path | None,
        typer.Option(
            "--svg", metavar="FILE", help="Draw its panels to a file, which must not exist."
        ),
    ] = None,
    as_json: Json = False,
) -> ExitStatus:
    """List the products, or show one product's measurements and panels."""
    unit = read_units(units)
    if svg is not None and name is None:
        advice = "give its name: clothwright products box-cushion --svg FILE"
        raise OrderError([Fault("--svg", "draws one product, so NAME must be given", "", advice)])
    from nesting.panels.product import products

    known = products()
    if name is None:
        chosen = [known[each] for each in sorted(known)]
        say(json_text([_brief(each) for each in chosen]) if as_json else _list(chosen))
        return ExitStatus.DONE
    if name not in known:
        raise _unknown(name, sorted(known))
    product = known[name]
    made = _make_shown(product)
    if svg is not None:
        write_new(svg, _svg(product, made))
    say(json_text(_record(product, made)) if as_json else _page(product, made, unit))
    return ExitStatus.DONE


def _svg(product: "Product", made: "Made") -> bytes:
    """The panels of a product as SVG, not turned."""
    from nesting.drawings.svg.writer import write
    from nesting.exporters.panel_drawing import APART, panel_drawing

    room = max(panel.cut.height for panel in made.panels) + 2 * APART
    return write(panel_drawing(made.panels, product.name, room))


def _unknown(name: str, known: list[str]) -> OrderError:
    near = get_close_matches(name.lower(), known, 1)
    guess = f"did you mean {near[0]}? " if near else ""
    advice = f"{guess}The products are {', '.join(known)}"
    return OrderError([Fault("NAME", "no product has this name", f'"{name}"', advice)])


def _make_shown(product: "Product") -> "Made":
    """The panels of a product with the measurements that it is shown with."""
    from nesting.panels.making import make_panels

    values = {each.name: each.shown for each in product.measurements}
    return make_panels(product, values, item="", cloth="", quantity=1, allowance_mm=_NO_ALLOWANCE)


def _takes_liner(product: "Product") -> bool:
    """Whether a product has a filling, which a liner would hold."""
    from nesting.panels.parts.filling import is_filled

    return is_filled(product.draft({each.name: each.shown for each in product.measurements}))


def _list(products: "list[Product]") -> str:
    return columns([[product.name, product.summary] for product in products])


def _page(product: "Product", made: "Made", unit: str) -> str:
    """Everything about one product, as text for people."""
    shown = [
        f"{each.name} {_value(each, each.shown, unit)}"
        for each in product.measurements
        if each.shown is not None
    ]
    return "\n".join(
        [
            f"{product.name}: {product.summary}",
            "",
            columns(
                [
                    ["measurement", "default", "limits", "meaning"],
                    *_rows(product, unit),
                    *([_LINER_ROW] if _takes_liner(product) else []),
                ]
            ),
            "",
            f"Panels of one item, finished sizes, shown with {', '.join(shown)}",
            "(the roll runs from left to right):",
            "",
            *_sketches(made.panels, unit),
            *(wrap(fact.in_unit(unit), "- ") for fact in made.facts),
            "",
            *(wrap(caution, "! ") for caution in product.cautions),
        ]
    )


def _rows(product: "Product", unit: str) -> Iterator[list[str]]:
    for each in product.measurements:
        default = "required" if each.required else "optional"
        if each.default is not None:
            default = _value(each, each.default, unit)
        yield [each.name, default, _limits(each, unit), each.meaning]


def _limits(measurement: "Measurement", unit: str) -> str:
    from nesting.panels.measurements import MeasurementKind as Kind
    from nesting.units import Limit

    if measurement.choices:
        return ", ".join(measurement.choices)
    if measurement.kind is Kind.FLAG:
        return "true, false"
    if measurement.least is None or measurement.greatest is None:
        return ""
    least = _value(measurement, measurement.least, unit, Limit.AT_LEAST)
    greatest = _value(measurement, measurement.greatest, unit, Limit.AT_MOST)
    behind = {Kind.POINTS: " points", Kind.COUNT_OR_AUTO: ", or auto"}
    return f"{least} to {greatest}{behind.get(measurement.kind, '')}"


def _value(
    measurement: "Measurement", value: "Value", unit: str, limit: "Limit | None" = None
) -> str:
    """A value as in an order; a limit is rounded to a mark that is itself allowed."""
    from nesting.panels.measurements import MeasurementKind
    from nesting.units import format_length, to_grid

    if isinstance(value, tuple):
        shown = ((format_length(to_grid(n), unit) for n in point) for point in value)
        return " ".join(f"({x}, {y})" for x, y in shown)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float | int):
        if measurement.kind is MeasurementKind.LENGTH:
            return format_length(to_grid(value), unit, limit)
        behind = f" {measurement.unit}" if measurement.unit else ""
        return f"{value:g}{behind}"
    return str(value)


def _sketches(panels: "tuple[Panel, ...]", unit: str) -> Iterator[str]:
    """Each panel's number, name and size, and its outline, all to the same scale."""
    from nesting.units import format_length

    scale = min(
        2 * _SKETCH_WIDTH / max(panel.cut.length for panel in panels),
        4 * _SKETCH_HEIGHT / max(panel.cut.height for panel in panels),
    )
    for panel in panels:
        length, height = (format_length(n, unit) for n in (panel.cut.length, panel.cut.height))
        yield f"{panel.per_item} {panel.name}, {length} along the roll, {height} across"
        yield from sketch([panel.cut.points], scale)
        yield ""


def _brief(product: "Product") -> dict[str, Any]:
    return {"name": product.name, "summary": product.summary}


def _record(product: "Product", made: "Made") -> dict[str, Any]:
    """Everything about one product as data for programs, with lengths in millimetres."""
    return {
        **_brief(product),
        "measurements": [
            {
                "name": each.name,
                "kind": str(each.kind),
                "meaning": each.meaning,
                "required": each.required,
                "unit": each.unit,
                "default": _plain(each.default),
                "least": each.least,
                "greatest": each.greatest,
                "choices": list(each.choices),
                "shown": _plain(each.shown),
            }
            for each in product.measurements
        ],
        "takes_liner": _takes_liner(product),
        "panels": [_panel_record(panel) for panel in made.panels],
        "facts": [fact.in_unit("mm") for fact in made.facts],
        "cautions": list(product.cautions),
    }


def _plain(value: "Value") -> Any:
    """A value that JSON can hold."""
    return str(value) if isinstance(value, Path) else value


def _panel_record(panel: "Panel") -> dict[str, Any]:
    from nesting.units import points_to_mm, to_mm

    return {
        "name": panel.name,
        "per_item": panel.per_item,
        "length_mm": to_mm(panel.cut.length),
        "height_mm": to_mm(panel.cut.height),
        "area_mm2": round(panel.cut.area_mm2, 2),
        "outline_mm": points_to_mm(panel.cut.points),
    }
