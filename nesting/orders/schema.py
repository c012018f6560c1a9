"""The order file, version 1: its tables as models, and the JSON Schema made from them.

A model describes one table; rules between keys and between tables are in
`nesting.orders.rules`. The keys of an item come from the measurements of its
product, so a new product needs no change here.
"""

from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from pydantic import ConfigDict, Field, create_model
from pydantic.json_schema import GenerateJsonSchema, models_json_schema

from nesting.orders.cloth_tables import (
    MOST_FLAWS,
    MOST_PIECES,
    ClothTable,
    FlawTable,
    StockTable,
    Table,
)
from nesting.orders.list_values import NAMES, points
from nesting.orders.values import (
    CLOTHS,
    FILE,
    FLAG,
    NAME,
    TEXT,
    VERSION,
    Kind,
    choice,
    count,
    count_or,
    length,
    number,
)
from nesting.units import BARE_UNITS, LARGEST, to_mm

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from nesting.panels.measurements import Measurement
    from nesting.panels.product import Product

MOST_OF_AN_ITEM: Final = 1000
MOST_TABLES: Final = 1000

#: Limits of a plain number that has none of its own.
_LEAST: Final = -1e9
_GREATEST: Final = 1e9


class Head(Table):
    """An order of the workroom: what is made, and from which cloths."""

    version: Annotated[int, VERSION] = Field(
        description="version of the file's format", examples=[1]
    )
    name: Annotated[str, NAME] = Field(
        description="what the order is called", examples=["Winter cushions"]
    )
    units: Annotated[str, choice(BARE_UNITS)] = Field(
        description="unit of every bare length in the file", examples=["cm"]
    )


class ItemTable(Table):
    """What is made, with the keys that every item takes."""

    product: Annotated[str, TEXT] = Field(
        description="what is made (clothwright products lists it)", examples=["box-cushion"]
    )
    name: Annotated[str, NAME] = Field(
        description="what is written on its panels", examples=["seat"]
    )
    quantity: Annotated[int, count(1, MOST_OF_AN_ITEM)] = Field(
        description="how many are made", examples=[2]
    )
    cloth: Annotated[str, TEXT] = Field(
        description="name of the cloth it is cut from", examples=["blue canvas"]
    )
    seam_allowance: Annotated[Any, length()] = Field(
        "1 cm",
        validate_default=True,
        description="added along every edge; 0: the sizes given are cut sizes",
    )
    panel_cloth: Annotated[Any, CLOTHS] = Field(
        None,
        description="another cloth for some of its panels: a lining, a cheaper one underneath",
        examples=[{"cap": "blue canvas"}],
    )
    liner: Annotated[Any, TEXT] = Field(
        None,
        description="cloth of an inner bag, made as panels of its own a little larger than the "
        "cover; for what is filled",
        examples=["close cotton"],
    )
    hidden: Annotated[Any, NAMES] = Field(
        None,
        description="panels that are not seen, named as in panel_cloth: they may have minor flaws",
        examples=[["bottom"]],
    )
    one_shade: Annotated[bool, FLAG] = Field(
        default=True, description="all panels of one copy come from pieces of one shade"
    )
    railroad: Annotated[bool, FLAG] = Field(
        default=False, description="the whole item is turned a quarter on the cloth"
    )


class LooseItemTable(ItemTable):
    """An item of an unknown product, whose own keys cannot be checked."""

    model_config = ConfigDict(extra="ignore")


#: The keys of tables within the tables of a cloth: [[cloth.stock.flaw]].
NESTED: Final[dict[type[Table], tuple[str, ...]]] = {
    ClothTable: ("flaw", "stock"),
    StockTable: ("flaw",),
}


@lru_cache(maxsize=256)  # products that belong to one order come and go
def item_table(product: str, measurements: "tuple[Measurement, ...]") -> type[Table]:
    """The model for items of one product."""
    fields: dict[str, Any] = {each.name: _field(each) for each in measurements}
    fields["product"] = (Literal[product], Field(description="what is made"))
    return create_model(product, __base__=ItemTable, __doc__=None, **fields)


def _field(measurement: "Measurement") -> tuple[Any, Any]:
    """A measurement as a field of the model."""
    default = measurement.default
    required = measurement.required and default is None
    return Annotated[Any, _kind(measurement)], Field(
        ... if required else _as_written(measurement, default),
        validate_default=default is not None,
        description=measurement.meaning,
        examples=None
        if measurement.shown is None
        else [_as_written(measurement, measurement.shown)],
    )


def _as_written(measurement: "Measurement", value: Any) -> Any:
    """A value of a measurement as an order states it: lengths with their unit."""
    if measurement.kind == "points" and value is not None:
        return [[f"{x:.10g} mm", f"{y:.10g} mm"] for x, y in value]
    if measurement.kind == "file" and value is not None:
        return value.name
    is_length = measurement.kind == "length" and value is not None
    return f"{value:.10g} mm" if is_length else value


def _kind(measurement: "Measurement") -> Kind:
    """The kind of value that a measurement takes."""
    least, greatest = measurement.least, measurement.greatest
    whole = int(least or 0), MOST_OF_AN_ITEM if greatest is None else int(greatest)
    kinds: dict[str, Callable[[], Kind]] = {
        "choice": lambda: choice(measurement.choices),
        "count": lambda: count(*whole),
        "count or auto": lambda: count_or("auto", *whole),
        "flag": lambda: FLAG,
        "file": lambda: FILE,
        "points": lambda: points(*whole),
        "number": lambda: number(
            _LEAST if least is None else least,
            _GREATEST if greatest is None else greatest,
            measurement.unit,
        ),
        "length": lambda: length(
            least or 0.0, to_mm(LARGEST) if greatest is None else greatest, zero=least is not None
        ),
    }
    return kinds[measurement.kind]()


def known_products() -> "Mapping[str, Product]":
    """All products by name; imported late, because products load the geometry modules."""
    from nesting.panels.product import products  # noqa: PLC0415 - see above

    return products()


def json_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of the order file, for editors and for other programs."""
    made = [item_table(each.name, each.measurements) for each in known_products().values()]
    models: list[type[Table]] = [Head, ClothTable, StockTable, FlawTable, *made]
    keys, shared = models_json_schema([(model, "validation") for model in models])
    references = {model: reference for (model, _), reference in keys.items()}
    tables = shared["$defs"]
    head = tables.pop(Head.__name__)
    kinds = [references[each] for each in made]
    head["properties"] |= {
        "cloth": _list_of(references[ClothTable], "the cloths, each under [[cloth]]"),
        "item": _list_of({"oneOf": kinds}, "what is made, each under [[item]]"),
    }
    head["required"] += ["cloth", "item"]
    flaws = _list_of(references[FlawTable], "where nothing may lie", 0, MOST_FLAWS)
    stock = _list_of(references[StockTable], "the pieces of it that are there", 0, MOST_PIECES)
    tables[ClothTable.__name__]["properties"] |= {"flaw": flaws, "stock": stock}
    tables[StockTable.__name__]["properties"] |= {"flaw": flaws}
    dialect = GenerateJsonSchema.schema_dialect
    return {"$schema": dialect, "title": "order", **_tidied(head), "$defs": _tidied(tables)}


def _list_of(
    table: dict[str, Any], description: str, least: int = 1, most: int = MOST_TABLES
) -> dict[str, Any]:
    limits = {"minItems": least, "maxItems": most}
    return {"type": "array", "description": description, "items": table, **limits}


def _tidied(schema: Any) -> Any:
    """The schema without titles that repeat key names, and without null defaults."""
    if isinstance(schema, list):
        return [_tidied(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: _tidied(each)
        for key, each in schema.items()
        if not (key == "title" and isinstance(each, str))
        and not (key == "default" and each is None)
    }
