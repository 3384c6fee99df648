"""The fixed words of a status: what a field that takes one of a few words can say."""

from __future__ import annotations

from typing import Literal

Cover = Literal["none", "clear_film", "tarp", "breathable", "straw"]
Exposure = Literal["sheltered", "normal", "exposed"]
Rain = Literal["none", "light", "heavy"]
Sun = Literal["clear", "mixed", "overcast"]
Season = Literal["heating", "off"]
Preference = Literal["season", "tonight"]
MoistureFeel = Literal["dusty", "dry", "damp", "wet", "soggy"]
MoistureFeelAt = Literal["surface", "arm_deep", "core"]
HeatWay = Literal["air_duct", "water_loop"]
Equipment = Literal["air_duct", "water_loop", "house_thermostat"]
Control = Literal["thermostat", "timer", "hand"]
Glazing = Literal["single_film", "double_film", "glass", "double_glass", "twin_wall"]
AirPath = Literal["closed_duct", "through_heap"]
AirPlace = Literal["greenhouse", "outdoors", "other"]
Tube = Literal["copper", "plastic"]
Loop = Literal["closed", "open"]
