"""What the heap is: its age, size, make-up and cover, and what it is for."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from pydantic import Field, model_validator

from rules.language.status_words import Cover, Exposure, Preference
from service.status.field import RecordedPart, optional_field
from service.status.moments import DAY
from service.status.names import MATERIAL
from service.status.part import AtMost, Part
from service.status.quantities import Amount, AmountOf, Measure, refused

Length = Annotated[float, Measure("length", 0.05, 500.0)]
Moisture = Annotated[float, Measure("percent", 0.0, 100.0, fraction_is_slip=True)]

_SHAPES = ("cone", "windrow", "cylinder", "box")


class Goal(RecordedPart, at="/goal"):
    """What the heat is wanted for."""

    until: Annotated[date, DAY] | None = optional_field("/goal/until")
    keep_core_above: float | None = optional_field("/goal/keep_core_above")
    prefer: Preference | None = optional_field("/goal/prefer")


class Cone(Part):
    """A cone or rounded heap."""

    diameter: Length = Field(description="Width at the foot.", examples=["12 ft", 3.6])
    height: Length = Field(description="Height in the middle.", examples=["5 ft", 1.5])


class Windrow(Part):
    """A long heap with sloping sides."""

    length: Length = Field(description="Length along the ground.", examples=["30 ft", 9])
    width: Length = Field(description="Width at the foot.", examples=["10 ft", 3])
    height: Length = Field(description="Height of the ridge.", examples=["5 ft", 1.5])


class Cylinder(Part):
    """A heap held upright by a fence or wall of one height."""

    diameter: Length = Field(description="Width across.", examples=["10 ft", 3])
    height: Length = Field(description="Height of the filling.", examples=["6 ft", 1.8])


class Box(Part):
    """A heap in a bay or box."""

    length: Length = Field(description="Inside length.", examples=["10 ft", 3])
    width: Length = Field(description="Inside width.", examples=["8 ft", 2.4])
    height: Length = Field(description="Height of the filling.", examples=["5 ft", 1.5])


class Size(Part):
    """Today's heap: a mass, a volume or a shape; a mass may stand beside either of the others.

    A shape may also be written flat, as `{"shape": "cone", "diameter": …, "height": …}`.
    """

    mass: float | None = optional_field("/pile/size/mass")
    volume: float | None = optional_field("/pile/size/volume")
    cone: Cone | None = Field(
        None, description="Measures of a cone.", examples=[{"diameter": "12 ft", "height": "5 ft"}]
    )
    windrow: Windrow | None = Field(
        None,
        description="Measures of a windrow.",
        examples=[{"length": "30 ft", "width": "10 ft", "height": "5 ft"}],
    )
    cylinder: Cylinder | None = Field(
        None, description="Measures of a cylinder.", examples=[{"diameter": "10 ft", "height": "6 ft"}]
    )
    box: Box | None = Field(
        None, description="Measures of a box.", examples=[{"length": "10 ft", "width": "8 ft", "height": "5 ft"}]
    )

    @model_validator(mode="before")
    @classmethod
    def _nest_flat_shape(cls, data: Any) -> Any:
        if isinstance(data, (str, int, float)):
            hint = 'write {"volume": "22 yd3"} or {"mass": "9 short_ton"}, or the measures of a shape'
            raise refused(f"a bare size is refused: {hint}", read=str(data)[:80])
        if not isinstance(data, dict) or data.get("shape") is None:
            return data
        shape = data["shape"]
        if shape not in _SHAPES:
            raise refused("there is no such shape", read=str(shape)[:80], allowed=", ".join(_SHAPES))
        beside = {key: value for key, value in data.items() if key in ("mass", "volume", *_SHAPES)}
        return {**beside, shape: {k: v for k, v in data.items() if k not in beside and k != "shape"}}

    @model_validator(mode="after")
    def _one_size(self) -> Size:
        sizes = [name for name in ("volume", *_SHAPES) if getattr(self, name) is not None]
        if len(sizes) > 1:
            raise refused(f"the size is given twice: as {' and '.join(sizes)}; keep the one you trust")
        if not sizes and self.mass is None:
            raise refused("a size needs a mass, a volume or the measures of a shape; leave it out if it is not known")
        return self


class Ingredient(Part):
    """One thing the heap was built from."""

    material: Annotated[str, MATERIAL] = Field(
        description="Material id or a common name for it; `GET /materials` lists them.",
        examples=["wood_chips", "horse_manure"],
    )
    amount: Annotated[Amount, AmountOf(("mass", "volume"), 0.001, 5e6)] | None = Field(
        None,
        description="Mass or volume as it lay when added; amounts give the proportions. Under `metric` a bare number "
        "is kilograms; under `us` it is refused.",
        examples=["18 yd3", "400 kg"],
    )
    share: Annotated[float, Measure("percent", 0.1, 100.0, fraction_is_slip=True)] | None = Field(
        None,
        description="Its share of the heap by volume, in %, where no amounts are known; shares count against each "
        "other. Amounts and shares do not go together.",
        examples=["70 %", 70],
    )
    moisture: Moisture | None = Field(
        None, description="Water in its wet mass when added, if measured, in %.", examples=["55 %", 55]
    )


class Pile(RecordedPart, at="/pile"):
    """The heap itself. One of `age` and `built_on` is needed."""

    age: float | None = optional_field("/pile/age")
    built_on: Annotated[date, DAY] | None = optional_field("/pile/built_on")
    size: Size | None = Field(
        None, description="Its size today; wins over the ingredients.", examples=[{"volume": "22 yd3"}]
    )
    ingredients: Annotated[list[Ingredient], AtMost(40)] | None = Field(
        None,
        description="What it was built from, with amounts where known.",
        examples=[[{"material": "wood_chips", "amount": "18 yd3"}, {"material": "horse_manure", "amount": "4 yd3"}]],
    )
    moisture: float | None = optional_field("/pile/moisture")
    shrunk: float | None = optional_field("/pile/shrunk")
    cover: Cover | None = optional_field("/pile/cover")
    wind: Exposure | None = optional_field("/pile/wind")

    @model_validator(mode="after")
    def _amounts_or_shares(self) -> Pile:
        parts = self.ingredients or []
        if any(part.amount is not None for part in parts) and any(part.share is not None for part in parts):
            raise refused("ingredients have amounts or shares, not both: give each an amount, or each a share")
        return self
