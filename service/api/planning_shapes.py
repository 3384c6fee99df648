"""Models of the planning routes, for the description of the interface."""

from __future__ import annotations

from typing import Any, Final

from pydantic import BaseModel

from service.planning.shapes.greenhouse import GreenhouseRequest
from service.planning.shapes.greenhouse_answer import GreenhousePlan
from service.planning.shapes.season import SeasonRequest
from service.planning.shapes.season_answer import SeasonPlan
from service.planning.shapes.sheet import BuildSheetRequest
from service.planning.shapes.sheet_answer import BuildSheet
from service.planning.shapes.sizing import SizingRequest
from service.planning.shapes.sizing_answer import HeapPlan

INCOMING: Final[tuple[type[BaseModel], ...]] = (BuildSheetRequest, GreenhouseRequest, SeasonRequest, SizingRequest)
OUTGOING: Final[tuple[type[Any], ...]] = (BuildSheet, GreenhousePlan, HeapPlan, SeasonPlan)
