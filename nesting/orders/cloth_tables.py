"""The tables of a cloth: the cloth itself, its flaws and the pieces of it that are there."""

from typing import Annotated, Any, Final

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator

from nesting.cloth.cloth import Coating, Nap
from nesting.drawings.drawing_units import UNITS_MM
from nesting.orders.list_values import COORDINATE, lengths, pair, points, points_or_file
from nesting.orders.values import (
    CURRENCY,
    FLAG,
    NAME,
    NOTE,
    PRICE,
    Reading,
    choice,
    length,
)

#: Cloth rules that the trade uses and this version cannot honour yet.
LATER: Final = (
    "shrink_length", "shrink_width", "repeat_length", "repeat_width", "repeat_step",
    "repeat_origin", "off_grain_degrees",
)  # fmt: skip

#: Most pieces of one cloth, flaws of one piece or roll, and points of one outline.
MOST_PIECES: Final = 200
MOST_FLAWS: Final = 1000
MOST_POINTS: Final = 2000

#: Most splices of a piece, and most places where its width is measured.
_MOST_PLACES: Final = 1000

#: No cloth sold by the metre is 10 m wide; such a width is in another unit.
WIDEST_MM: Final = 10_000.0


#: The lengths of a piece; its model has a field that is called length as well.
_LONG: Final = length(zero=False)
_WIDE: Final = length(greatest_mm=WIDEST_MM, zero=False)
_STRIP: Final = length()


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


class ClothTable(Table):
    """What can be bought, and how it may be used."""

    model_config = ConfigDict(
        json_schema_extra={
            "dependentRequired": {"price_per_metre": ["currency"], "price_per_yard": ["currency"]},
            "not": {"required": ["price_per_metre", "price_per_yard"]},
            "if": {"properties": {"may_buy": {"const": False}}, "required": ["may_buy"]},
            "then": {"required": ["stock"], "properties": {"stock": {"minItems": 1}}},
        }
    )

    name: Annotated[str, NAME] = Field(
        description="what the items call it", examples=["blue canvas"]
    )
    width: Annotated[float, _WIDE] = Field(
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
    may_buy: Annotated[bool, FLAG] = Field(
        default=True, description="whether more may be bought than the stock holds"
    )


class FlawTable(Table):
    """Where nothing may lie: a rectangle, or an outline."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["at", "size"], "not": {"required": ["outline"]}},
                {
                    "required": ["outline"],
                    "not": {"anyOf": [{"required": ["at"]}, {"required": ["size"]}]},
                },
            ]
        }
    )

    at: Annotated[Any, pair(COORDINATE, "write it like [120, 30]")] = Field(
        None,
        description="where it begins: along the cloth from the cut end, and across it from the "
        "lower edge; on a piece with an outline, in the coordinates of that outline as drawn",
        examples=[[120, 30]],
    )
    size: Annotated[Any, pair(length(zero=False), "write it like [4, 6]")] = Field(
        None, description="how long it is along the cloth, and across it", examples=[[4, 6]]
    )
    outline: Annotated[Any, points(3, MOST_POINTS, COORDINATE)] = Field(
        None,
        description="its corners in order, in place of at and size",
        examples=[[[0, 0], [60, 0], [60, 45]]],
    )
    what: Annotated[str, NOTE] = Field("", description="what it is", examples=["oil stain"])
    minor: Annotated[bool, FLAG] = Field(default=False, description="hidden panels may have it")


class StockTable(Table):
    """One piece of the cloth that is there: a roll, a remnant, an offcut, a hide."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["length"], "not": {"required": ["outline"]}},
                {
                    "required": ["outline"],
                    "not": {
                        "anyOf": [{"required": [key]} for key in ("length", "width", "widths")]
                    },
                },
            ],
            "if": {"required": ["unit"]},
            "then": {"properties": {"outline": {"type": "string"}}, "required": ["outline"]},
        }
    )

    name: Annotated[str, NAME] = Field(
        description="what it is called; it has files of its own", examples=["end of roll"]
    )
    length: Annotated[Any, _LONG] = Field(
        None, description="how long it is along the roll", examples=["3.2 m"]
    )
    width: Annotated[Any, _WIDE] = Field(
        None, description="edge to edge; without it, as wide as the cloth"
    )
    outline: Annotated[Any, points_or_file(3, MOST_POINTS)] = Field(
        None,
        description="its edge, in place of length and width: its corners in order, or the path of "
        "a DXF or SVG drawing beside the order, in which closed lines inside the edge are holes. "
        "Along the roll is x. The drawing may lie anywhere: flaws and splices are given in its "
        "coordinates (in SVG, y runs down), and the lay counts from its least x and y",
        examples=["hide.dxf"],
    )
    unit: Annotated[Any, choice(UNITS_MM)] = Field(
        None, description="unit of the drawing's numbers, if the drawing does not say it"
    )
    widths: Annotated[
        Any,
        points(1, _MOST_PLACES, good="write it like [[0, 140], [300, 138]]", what="places"),
    ] = Field(
        None,
        description="[along, width] at each place where it is measured; between two places the "
        "narrower counts",
        examples=[[[0, 140], [300, 138]]],
    )
    splices: Annotated[Any, lengths(_MOST_PLACES, "write it like [180, 420]")] = Field(
        None,
        description="how far along it pieces are joined: nothing lies across",
        examples=[[180]],
    )
    shade: Annotated[str, NOTE] = Field(
        "", description="its dye lot or shade; pieces without one count as one shade"
    )
    price: Annotated[Any, PRICE] = Field(
        None,
        description="of the whole piece, 0 if it is paid already; without it, by its length at the "
        "price of the cloth",
    )
    selvedge: Annotated[Any, _STRIP] = Field(
        None,
        description="unusable strip at each edge; without it, that of the cloth, or none if the "
        "piece has an outline",
    )
