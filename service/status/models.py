"""The models of the interface, in one place to import from."""

from rules.language.status_words import (
    AirPath,
    AirPlace,
    Cover,
    Equipment,
    Exposure,
    Glazing,
    Loop,
    MoistureFeel,
    MoistureFeelAt,
    Preference,
    Rain,
    Season,
    Sun,
    Tube,
)
from service.status.names import Sign, Smell, Symptom
from service.status.pile import Box, Cone, Cylinder, Goal, Ingredient, Pile, Size, Windrow
from service.status.quantities import Amount
from service.status.readings import Probe, ProbePoint, Reading, Temperatures, Work
from service.status.status import ReadAs, Status
from service.status.surroundings import Draw, DrawnAir, DrawnWater, ForecastDay, Greenhouse, Weather

__all__ = [
    "AirPath",
    "AirPlace",
    "Amount",
    "Box",
    "Cone",
    "Cover",
    "Cylinder",
    "Draw",
    "DrawnAir",
    "DrawnWater",
    "Equipment",
    "Exposure",
    "ForecastDay",
    "Glazing",
    "Goal",
    "Greenhouse",
    "Ingredient",
    "Loop",
    "MoistureFeel",
    "MoistureFeelAt",
    "Pile",
    "Preference",
    "Probe",
    "ProbePoint",
    "Rain",
    "ReadAs",
    "Reading",
    "Season",
    "Sign",
    "Size",
    "Smell",
    "Status",
    "Sun",
    "Symptom",
    "Temperatures",
    "Tube",
    "Weather",
    "Windrow",
    "Work",
]
