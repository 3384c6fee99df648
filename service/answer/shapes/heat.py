"""Heat and energy as they go out."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

_W = {"value": 900, "low": 600, "high": 1300, "unit": "BTU/h"}


class Quantity(BaseModel):
    """A value with its 80 % range."""

    model_config = ConfigDict(extra="forbid")

    value: float = Field(description="Most likely value, in `unit`.", examples=[900])
    low: float = Field(description="Low end of the 80 % range, in `unit`.", examples=[600])
    high: float = Field(description="High end of the 80 % range, in `unit`.", examples=[1300])
    unit: str = Field(description="Unit of the three numbers.", examples=["BTU/h"])


def _power(description: str) -> Any:
    return Field(description=f"{description} W or BTU/h; null where it cannot be told.", examples=[_W])


def _energy(description: str) -> Any:
    unit = {"value": 21000, "low": 16000, "high": 27000, "unit": "MJ"}
    return Field(description=f"{description} MJ or BTU; null where it cannot be told.", examples=[unit])


class Tonight(BaseModel):
    """Tonight's bargain between house, heap and stove."""

    model_config = ConfigDict(extra="forbid")

    needed: Quantity | None = _power("What the house needs in tonight's cold.")
    from_pile: Quantity | None = _power("What the heap can give.")
    short_by: Quantity | None = _power("What is left for a stove.")
    verdict: str = Field(description="The same in words.", examples=["The heap can carry the house tonight."])


class Lost(BaseModel):
    """Heat lost."""

    model_config = ConfigDict(extra="forbid")

    ground_and_air: Quantity | None = _power("Lost through the skin and the foot.")
    evaporation: Quantity | None = _power("Lost with vapour.")


class DrawnByAir(BaseModel):
    """Heat drawn by air."""

    model_config = ConfigDict(extra="forbid")

    sensible: Quantity | None = _power("Drawn as warmth of the air.")
    latent: Quantity | None = _power("Drawn as vapour in the air.")


class Drawn(BaseModel):
    """Heat drawn."""

    model_config = ConfigDict(extra="forbid")

    air: DrawnByAir = Field(description="Drawn by air.", examples=[{"sensible": _W, "latent": None}])
    water: Quantity | None = _power("Drawn by the water loop.")


class HeatBalance(BaseModel):
    """Where the heat comes from and goes: `unexplained` = lost + drawn + stored - made."""

    model_config = ConfigDict(extra="forbid")

    made: Quantity | None = _power("Made by rot, counted from what is left to decay.")
    lost: Lost = Field(description="Lost.", examples=[{"ground_and_air": _W, "evaporation": None}])
    drawn: Drawn = Field(
        description="Drawn for use.", examples=[{"air": {"sensible": _W, "latent": None}, "water": None}]
    )
    stored: Quantity | None = _power("Stored; positive while the heap warms.")
    unexplained: Quantity | None = _power("What the two ways of counting leave open.")


class Energy(BaseModel):
    """The ledger: three draws and three stocks that never stand for each other."""

    model_config = ConfigDict(extra="forbid")

    total: Quantity | None = _energy("All the chemical energy in the dry matter.")
    usable_left: Quantity | None = _energy("What can still come out as useful heat.")
    burst_draw: Quantity | None = _power("What loop or duct could take for hours, out of stored heat.")
    season_draw: Quantity | None = _power("What keeps the core above the goal's limit to its date.")
    asked: Quantity | None = _power(
        "What is asked of it now: the sum of the draws that were told; null where none was."
    )
    verdict: str = Field(description="The same in words.", examples=["What is asked is more than it can keep up."])


class Effect(BaseModel):
    """What an action is expected to gain, from runs of the heat model with and without it."""

    model_config = ConfigDict(extra="forbid")

    heat_to_goal: Quantity | None = _energy("Useful heat gained by the goal's date.")
    hot_days_gained: Quantity | None = Field(
        description="Days more with the core at 40 degC (104 degF) or above; null where it cannot be told.",
        examples=[{"value": 9, "low": 2, "high": 16, "unit": "days"}],
    )
    chance_of_gain: float | None = Field(description="Chance of any gain, 0 to 1.", ge=0, le=1, examples=[0.9])
    text: str | None = Field(
        None,
        description="The same in words, with weeks of warmth, kWh or therms and the chance out of ten; null where "
        "nothing worth telling is gained.",
        examples=["Expected: about a week more with a hot core. The chance that it helps at all is 7 in 10."],
    )
    note: str | None = Field(
        None,
        description="What else to know of these numbers.",
        examples=["The model cannot tell this effect from none."],
    )
