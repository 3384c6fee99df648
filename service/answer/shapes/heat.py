"""Heat and energy as they go out."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed
from service.render.shape import Quantity

_W = {"value": 900, "low": 600, "high": 1300, "unit": "BTU/h"}


def _power(description: str) -> Any:
    return Field(description=f"{description} W or BTU/h; null where it cannot be told.", examples=[_W])


def _energy(description: str) -> Any:
    unit = {"value": 21000, "low": 16000, "high": 27000, "unit": "MJ"}
    return Field(description=f"{description} MJ or BTU; null where it cannot be told.", examples=[unit])


@closed
class Tonight(TypedDict):
    """Tonight's bargain between house, heap and stove."""

    needed: Annotated[Quantity | None, _power("What the house needs in tonight's cold.")]
    from_pile: Annotated[Quantity | None, _power("What the heap can give.")]
    short_by: Annotated[Quantity | None, _power("What is left for a stove.")]
    verdict: Annotated[str, Field(description="The same in words.", examples=["The heap can carry the house tonight."])]


@closed
class Lost(TypedDict):
    """Heat lost."""

    ground_and_air: Annotated[Quantity | None, _power("Lost through the skin and the foot.")]
    evaporation: Annotated[Quantity | None, _power("Lost with vapour.")]


@closed
class DrawnByAir(TypedDict):
    """Heat drawn by air."""

    sensible: Annotated[Quantity | None, _power("Drawn as warmth of the air.")]
    latent: Annotated[Quantity | None, _power("Drawn as vapour in the air.")]


@closed
class Drawn(TypedDict):
    """Heat drawn."""

    air: Annotated[DrawnByAir, Field(description="Drawn by air.", examples=[{"sensible": _W, "latent": None}])]
    water: Annotated[Quantity | None, _power("Drawn by the water loop.")]


@closed
class HeatBalance(TypedDict):
    """Where the heat comes from and goes: `unexplained` = lost + drawn + stored - made."""

    made: Annotated[Quantity | None, _power("Made by rot, counted from what is left to decay.")]
    lost: Annotated[Lost, Field(description="Lost.", examples=[{"ground_and_air": _W, "evaporation": None}])]
    drawn: Annotated[
        Drawn, Field(description="Drawn for use.", examples=[{"air": {"sensible": _W, "latent": None}, "water": None}])
    ]
    stored: Annotated[Quantity | None, _power("Stored; positive while the heap warms.")]
    unexplained: Annotated[Quantity | None, _power("What the two ways of counting leave open.")]


@closed
class Energy(TypedDict):
    """The ledger: three draws and three stocks that never stand for each other."""

    total: Annotated[Quantity | None, _energy("All the chemical energy in the dry matter.")]
    usable_left: Annotated[Quantity | None, _energy("What can still come out as useful heat.")]
    burst_draw: Annotated[Quantity | None, _power("What loop or duct could take for hours, out of stored heat.")]
    season_draw: Annotated[Quantity | None, _power("What keeps the core above the goal's limit to its date.")]
    asked: Annotated[
        Quantity | None, _power("What is asked of it now: the sum of the draws that were told; null where none was.")
    ]
    verdict: Annotated[
        str, Field(description="The same in words.", examples=["What is asked is more than it can keep up."])
    ]


@closed
class Effect(TypedDict):
    """What an action is expected to gain, from runs of the heat model with and without it."""

    heat_to_goal: Annotated[Quantity | None, _energy("Useful heat gained by the goal's date.")]
    hot_days_gained: Annotated[
        Quantity | None,
        Field(
            description="Days more with the core at 40 degC (104 degF) or above; null where it cannot be told.",
            examples=[{"value": 9, "low": 2, "high": 16, "unit": "days"}],
        ),
    ]
    chance_of_gain: Annotated[
        float | None, Field(description="Chance of any gain, 0 to 1.", ge=0, le=1, examples=[0.9])
    ]
    text: Annotated[
        str | None,
        Field(
            description="The same in words, with weeks of warmth, kWh or therms and the chance out of ten; null where "
            "nothing worth telling is gained.",
            examples=["Expected: about a week more with a hot core. The chance that it helps at all is 7 in 10."],
        ),
    ]
    note: Annotated[
        str | None,
        Field(
            description="What else to know of these numbers.",
            examples=["The model cannot tell this effect from none."],
        ),
    ]
