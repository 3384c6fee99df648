"""Pages of the materials and words as they go out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed
from service.why.rule_pages import CITED, KnowledgeVersion, SourceFull

_FIGURE = {"value": 50, "low": 40, "high": 60, "unit": "%", "source": CITED}


@closed
class MaterialLine(TypedDict):
    """One material in one line."""

    id: Annotated[str, Field(description="Material id.", examples=["wood_chips"])]
    name: Annotated[str, Field(description="What it is called.", examples=["wood chips"])]
    synonyms: Annotated[list[str], Field(description="Other names that are read.", examples=[["arborist chips"]])]
    uses: Annotated[list[str], Field(description="What it is reached for.", examples=[["bulking_dry"]])]
    c_to_n: Annotated[float | None, Field(description="Carbon to nitrogen, dry basis.", examples=[400])]
    page: Annotated[str, Field(description="Address of its page.", examples=["/materials/wood_chips"])]


@closed
class MaterialsIndex(TypedDict):
    """Every material."""

    knowledge_version: KnowledgeVersion
    count: Annotated[int, Field(description="How many there are.", examples=[60])]
    materials: Annotated[
        list[MaterialLine],
        Field(
            description="The materials.",
            examples=[
                [
                    {
                        "id": "wood_chips",
                        "name": "wood chips",
                        "synonyms": [],
                        "uses": ["carbon"],
                        "c_to_n": 400,
                        "page": "/materials/wood_chips",
                    }
                ]
            ],
        ),
    ]


@closed
class FigureShown(TypedDict):
    """A number with its range and its source."""

    value: Annotated[float, Field(description="Typical value, in `unit`.", examples=[50])]
    low: Annotated[float, Field(description="Low end of the range, in `unit`.", examples=[40])]
    high: Annotated[float, Field(description="High end of the range, in `unit`.", examples=[60])]
    unit: Annotated[str, Field(description="Unit of the three numbers.", examples=["%"])]
    source: Annotated[SourceFull, Field(description="Who says so.", examples=[CITED])]


@closed
class MaterialCautionShown(TypedDict):
    """What to mind with a material."""

    text: Annotated[str, Field(description="What to mind.", examples=["Fresh manure carries germs: wear gloves."])]
    source: Annotated[SourceFull, Field(description="Who says so.", examples=[CITED])]


@closed
class MaterialPage(TypedDict):
    """One material whole."""

    id: Annotated[str, Field(description="Material id.", examples=["wood_chips"])]
    name: Annotated[str, Field(description="What it is called.", examples=["wood chips"])]
    synonyms: Annotated[list[str], Field(description="Other names that are read.", examples=[["arborist chips"]])]
    uses: Annotated[list[str], Field(description="What it is reached for.", examples=[["bulking_dry"]])]
    traits: Annotated[list[str], Field(description="How it behaves.", examples=[["wood"]])]
    moisture: Annotated[FigureShown, Field(description="Water in the wet mass.", examples=[_FIGURE])]
    density: Annotated[
        FigureShown, Field(description="Bulk density as it lies, loose.", examples=[_FIGURE | {"unit": "kg/m3"}])
    ]
    carbon: Annotated[FigureShown, Field(description="Carbon in the dry matter.", examples=[_FIGURE])]
    nitrogen: Annotated[FigureShown, Field(description="Nitrogen in the dry matter.", examples=[_FIGURE])]
    c_to_n: Annotated[
        FigureShown | None, Field(description="Carbon to nitrogen, dry basis.", examples=[_FIGURE | {"unit": "1"}])
    ]
    rots_in_weeks: Annotated[FigureShown, Field(description="Dry matter that rots within weeks.", examples=[_FIGURE])]
    rots_in_years: Annotated[FigureShown, Field(description="Dry matter that rots within years.", examples=[_FIGURE])]
    heating_value: Annotated[
        FigureShown, Field(description="Heat of burning of the dry matter.", examples=[_FIGURE | {"unit": "MJ/kg"}])
    ]
    pace: Annotated[
        FigureShown,
        Field(description="How fast heaps of it rot over what is usual: how much they differ.", examples=[_FIGURE]),
    ]
    rot_ends_at: Annotated[
        FigureShown,
        Field(
            description="Temperature at which its rot ends: a few kelvin above the hottest core.",
            examples=[_FIGURE | {"unit": "degC"}],
        ),
    ]
    remark: Annotated[str, Field(description="What else to know.", examples=["Green chips heat best."])]
    cautions: Annotated[
        list[MaterialCautionShown],
        Field(description="What to mind.", examples=[[{"text": "Wear gloves.", "source": CITED}]]),
    ]


@closed
class WordLine(TypedDict):
    """One word: where it goes, how people say it, and what it tells."""

    id: Annotated[str, Field(description="The word to put into the field.", examples=["ash_streaks"])]
    field: Annotated[
        str, Field(description="JSON pointer of the field of a status that takes it.", examples=["/signs/-"])
    ]
    label: Annotated[str, Field(description="What the form calls it.", examples=["Grey streaks like ash, inside"])]
    says: Annotated[list[str], Field(description="What else is read as it.", examples=[["ashy streaks"]])]
    tells: Annotated[
        str, Field(description="What it means by itself, where no rule says more.", examples=["Mushrooms do no harm."])
    ]
    rules: Annotated[list[str], Field(description="Rules that read it.", examples=[["shape.ash-streaks-are-dry"]])]
    source: Annotated[
        SourceFull | None,
        Field(
            description="Who says so; null where its rules say who.",
            examples=[None],
        ),
    ]


@closed
class WordsIndex(TypedDict):
    """Every word."""

    knowledge_version: Annotated[
        str, Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])
    ]
    count: Annotated[int, Field(description="How many there are.", examples=[60])]
    words: Annotated[
        list[WordLine],
        Field(
            description="The words.",
            examples=[
                [
                    {
                        "id": "rodents",
                        "field": "/signs/-",
                        "label": "Rats or mice, or their holes",
                        "says": ["rats"],
                        "tells": "",
                        "rules": ["visitors.holes-leak-air"],
                        "source": None,
                    }
                ]
            ],
        ),
    ]
