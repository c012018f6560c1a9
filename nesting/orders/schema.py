"""The order file, version 1: its tables as models, and the JSON Schema made from them.

A model describes one table; rules between keys and between tables are in
`nesting.orders.rules`. The keys of an item come from the measurements of its
product, so a new product needs no change here.
"""

from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, create_model, field_validator
from pydantic.json_schema import GenerateJsonSchema, models_json_schema

from nesting.cloth.cloth import Coating, Nap
from nesting.orders.values import (
    CLOTHS,
    CURRENCY,
    FILE,
    FLAG,
    NAME,
    PRICE,
    TEXT,
    VERSION,
    Kind,
    Reading,
    choice,
    count,
    count_or,
    length,
    number,
    points,
)
from nesting.units import BARE_UNITS, LARGEST, to_mm

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from nesting.panels.measurements import Measurement
    from nesting.panels.product import Product

MOST_OF_AN_ITEM: Final = 1000
MOST_TABLES: Final = 1000

#: Cloth rules that the trade uses and this version cannot honour yet.
LATER: Final = (
    "shrink_length", "shrink_width", "repeat_length", "repeat_width", "repeat_step",
    "repeat_origin", "flaws", "off_grain_degrees",
)  # fmt: skip

#: No cloth sold by the metre is 10 m wide; such a width is in another unit.
_WIDEST_MM: Final = 10_000.0


#: Limits of a plain number that has none of its own.
_LEAST: Final = -1e9
_GREATEST: Final = 1e9


class Table(BaseModel):
    """A table of the file; it refuses undeclared keys and converts no values."""

    model_config = ConfigDict(strict=True, extra="forbid")

    @field_validator("*")
    @classmethod
    def _note(cls, value: Any, info: ValidationInfo[Reading]) -> Any:
        """Keep a value that is valid on its own, even if others are not."""
        if info.field_name:
            info.context.sound[info.field_name] = value
        return value


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


class ClothTable(Table):
    """What can be bought, and how it may be used."""

    model_config = ConfigDict(
        json_schema_extra={
            "dependentRequired": {"price_per_metre": ["currency"], "price_per_yard": ["currency"]},
            "not": {"required": ["price_per_metre", "price_per_yard"]},
        }
    )

    name: Annotated[str, NAME] = Field(
        description="what the items call it", examples=["blue canvas"]
    )
    width: Annotated[float, length(greatest_mm=_WIDEST_MM, zero=False)] = Field(
        description="edge to edge, at the narrowest place measured", examples=["140 cm"]
    )
    selvedge: Annotated[float, length()] = Field(0.0, description="unusable strip at each edge")
    nap: Annotated[str, choice(Nap)] = Field(
        Nap.ONE_WAY.value,
        description="one-way: every panel points the same way; up-and-down: all panels of one "
        "item point one way, items may differ; either-way: each panel may be turned end for end",
    )
    cross_grain: Annotated[bool, FLAG] = Field(
        default=False, description="panels may also be turned a quarter (not with one-way)"
    )
    price_per_metre: Annotated[Any, PRICE] = Field(None, description="price of one metre")
    price_per_yard: Annotated[Any, PRICE] = Field(None, description="price of one yard")
    currency: Annotated[Any, CURRENCY] = Field(
        None, description="currency of the price, in three letters (ISO 4217)"
    )
    buy_step: Annotated[Any, length(zero=False)] = Field(
        "1 mm", validate_default=True, description="the cloth is sold in steps of this length"
    )
    gap: Annotated[float, length()] = Field(
        0.0, description="clear cloth between panels, not to the edges"
    )
    end_allowance: Annotated[float, length()] = Field(0.0, description="cloth left at each cut end")
    roll_length: Annotated[Any, length(zero=False)] = Field(
        None,
        description="the most that can be bought in one piece; without it, as much as needed. "
        "buy_step counts: leave that out for a roll that is in the shop already",
    )
    coating: Annotated[str, choice(Coating)] = Field(
        Coating.NONE.value,
        description="what is on it, for the cautions on cutting it hot: vinyl and many imitation "
        "leathers are pvc; write unknown where nobody can say",
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
    railroad: Annotated[bool, FLAG] = Field(
        default=False, description="the whole item is turned a quarter on the cloth"
    )


class LooseItemTable(ItemTable):
    """An item of an unknown product, whose own keys cannot be checked."""

    model_config = ConfigDict(extra="ignore")


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
    models: list[type[Table]] = [Head, ClothTable, *made]
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
    dialect = GenerateJsonSchema.schema_dialect
    return {"$schema": dialect, "title": "order", **_tidied(head), "$defs": _tidied(tables)}


def _list_of(table: dict[str, Any], description: str) -> dict[str, Any]:
    limits = {"minItems": 1, "maxItems": MOST_TABLES}
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
