"""Models of the planning routes, for the description of the interface."""

from __future__ import annotations

from typing import Final

from pydantic import BaseModel

from service.schema.planning_greenhouse import GreenhouseRequest
from service.schema.planning_greenhouse_answer import GreenhousePlan

INCOMING: Final[tuple[type[BaseModel], ...]] = (GreenhouseRequest,)
OUTGOING: Final[tuple[type[BaseModel], ...]] = (GreenhousePlan,)
