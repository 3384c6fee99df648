"""Models of the planning routes, for the description of the interface."""

from __future__ import annotations

from typing import Final

from pydantic import BaseModel

from service.schema.planning_greenhouse import GreenhouseRequest
from service.schema.planning_greenhouse_answer import GreenhousePlan
from service.schema.planning_season import SeasonRequest
from service.schema.planning_season_answer import SeasonPlan
from service.schema.planning_sheet import BuildSheetRequest
from service.schema.planning_sheet_answer import BuildSheet
from service.schema.planning_sizing import SizingRequest
from service.schema.planning_sizing_answer import HeapPlan

INCOMING: Final[tuple[type[BaseModel], ...]] = (BuildSheetRequest, GreenhouseRequest, SeasonRequest, SizingRequest)
OUTGOING: Final[tuple[type[BaseModel], ...]] = (BuildSheet, GreenhousePlan, HeapPlan, SeasonPlan)
