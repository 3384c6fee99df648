"""Facts of those who work at the heap or live beside it, and of what they have on hand."""

from __future__ import annotations

from rules.language.facts.declaration import flag

people_unwell = flag(
    "people_unwell", "Somebody by the heap or in the house has a headache, is dizzy or sick.", tells=("/people",)
)
people_sting = flag("people_sting", "Somebody's eyes or throat sting, or somebody coughs.", tells=("/people",))
people_fever = flag("people_fever", "Somebody has a fever or chills since working at the heap.", tells=("/people",))
foul_air_by_fan = flag(
    "foul_air_by_fan",
    "A fan may blow air into the house that smells foul or stings, unless a closed duct keeps the heap's apart.",
    tells=("/smell", "/people", "/draw/air/path", "/draw/air/outlet_to"),
    sways=("/equipment", "/draw/air"),
)

# --- what is on hand, where a rule asks for it
has_bubble_wrap = flag("has_bubble_wrap", "Bubble wrap is on hand.", tells=("/on_hand",))
has_antifreeze = flag("has_antifreeze", "Antifreeze is on hand.", tells=("/on_hand",))
has_heater = flag("has_heater", "A heater is on hand.", tells=("/on_hand",))
has_spare_fan = flag("has_spare_fan", "A spare fan is on hand.", tells=("/on_hand",))
has_mesh = flag("has_mesh", "Wire mesh is on hand.", tells=("/on_hand",))
