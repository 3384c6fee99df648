"""The words of every move: its steps, what to watch for, and what to do with nothing at hand.

No units here, so that one text serves every reader: lengths are given by the body, and limits as `{THRESHOLD_ID}`.
"""

from __future__ import annotations

from typing import Final

READ_FIRST: Final = "Read the core first. At {FIRE_KEEP_CLEAR} or more, or with any smoke, do not open it: keep clear."
MASK: Final = "Wear gloves and a dust mask, stand upwind, and damp down any dust before you dig."
NO_CLIMBING: Final = "Do not climb on the heap or dig under an edge; a steep face can fall."

STEPS: Final[dict[str, tuple[str, ...]]] = {
    "add_water": (
        "Make holes an arm's length apart with a bar, from the top down to the core.",
        "Pour half the dose slowly into the holes, and only the rest over the top.",
        "Stop if water runs from the foot: it is running past, not soaking in.",
        "Close the holes with a rake. Squeeze a handful from arm's depth the next day, then give the other half.",
    ),
    "add_nitrogen": (
        "Give half the dose now and the other half in a fortnight, if no ammonia smell comes.",
        "Stir dry feed into plenty of water, or dilute urine well, and pour it into holes made with a bar.",
        "Do it outdoors with gloves, and keep your face away from the holes.",
        "Never mix it with wood ash or lime: that drives it off as ammonia gas.",
    ),
    "cover_with_clear_film": (
        "Lay the film from the windy side over the top, and weigh the edges down.",
        "Leave a slit a hand wide along the ridge, so that the heap can breathe.",
        "Tie it so that wind cannot lift it, and keep it clear of fans and hot pipes.",
    ),
    "reduce_draw": (
        "Set the timer of the pump or fan as given here.",
        "Share the minutes over each hour that it may run, not in one long run.",
        "Drain or guard any outdoor pipe that could freeze while the pump rests.",
        "Write down the core before and after, at the same hour and in the same spot.",
    ),
    "pause_draw": (
        "Switch the pump or fan off at the timer.",
        "Drain or guard any outdoor pipe that could freeze while it stands still.",
        "Read the core each day, and start again with a few minutes per hour once it has climbed.",
    ),
    "raise_draw": (
        "Raise it in small steps, up to what is given here.",
        "Give the heap three days after each step.",
        "Go back one step if the core falls day after day.",
    ),
    "draw_air_instead_of_water": (
        "Switch the water pump off and run the fan, a few minutes in each hour to begin with.",
        "Use air from a closed duct only. Air that has passed through the heap does not belong in the house.",
        "Guard the resting water loop against frost.",
    ),
    "build_new_pile": (
        "Choose a level, drained place near the house, out of the wind.",
        "Mix fresh chips with manure or greens as you build. Wet each layer to the feel of a wrung-out rag.",
        "Build it taller than you, and as wide as it is tall or wider. Lay pipe or duct as you go.",
        "Screen the coarse wood from the old heap to use again; use the rest as compost.",
    ),
    "start_next_pile": (
        "Collect fresh chips, manure and greens now, while this heap still works.",
        "Build the next heap beside it, mixed and wetted layer by layer.",
        "Begin to draw from it only when its core has held hot for a week.",
    ),
    "enlarge_pile": (
        "Wet and mix the new matter before it goes on.",
        "Lay it on the cold and windy side first, as thick as your arm is long.",
        "Leave no cracks between old and new, and cover the heap again.",
        "Keep it well away from walls, so that you can walk all around it.",
    ),
    "top_up": (
        "Fill cracks and hollows with damp fresh chips, mixed with some manure or greens.",
        "Rake the top to a rounded ridge. Do not tread it down.",
        "Put the cover back the same day.",
    ),
    "loosen_pile": (
        READ_FIRST,
        MASK,
        "Lift the wet part with a fork, a layer at a time, and lay it back loosely. Mind the pipe or duct.",
        NO_CLIMBING,
        "Close the heap and cover it the same day.",
    ),
    "add_dry_bulking": (
        READ_FIRST,
        MASK,
        "Fork coarse dry chips or straw into the wet part, layer by layer, down to the foot.",
        "Cut a shallow drain so that water can run from the foot.",
        NO_CLIMBING,
    ),
    "add_carbon": (
        READ_FIRST,
        "Stand upwind. Fork dry leaves, straw, torn cardboard or fine dry chips into the places that smell.",
        "Cap them with a hand's depth of the same. Use no ash and no lime.",
        "Damp the new matter if the heap is dry.",
    ),
    "insulate": (
        "Stack bales or lay straw as thick as your forearm is long, the windy side first.",
        "Leave a hand-wide gap along the ridge, so that the heap can breathe.",
        "Keep straw away from flames, hot flues and bare wires, and tie it down.",
    ),
    "lift_cover": (
        "Stand upwind and fold the cover back from the ridge.",
        "Leave it open for some hours in the middle of the day, then lay it back loosely.",
        "Leave a hand-wide gap along the ridge from now on.",
    ),
    "open_vent_in_film": (
        "Stand outside and upwind. Do not lean over the opening: the first breath out is hot and foul.",
        "Cut or fold back a slit a hand wide along the ridge, and one low on the side away from the wind.",
        "Tie the edges so that the wind cannot tear them.",
    ),
    "keep_rain_off": (
        "Hang or lay a sheet over the top, on poles or battens, so that air can pass beneath.",
        "Let it drip well clear of the foot, and cut a small drain there.",
        "Leave the sides open.",
    ),
    "remove_snow": (
        "Clear the vents, fan inlets and pipe ends first.",
        "Brush off snow that slides from the film or melts into a wet heap. Do not stand on the heap.",
        "Leave an even, dry layer where it does no harm: snow keeps frost out.",
    ),
    "stop_adding_water": (
        "Leave the hose off until a handful from arm's depth no longer drips.",
        "Turn away roof water and any ditch that runs in.",
    ),
    "check_loop": (
        "Switch the pump off at the plug before you touch it.",
        "Look for a shut valve, a blocked filter, a kink, a leak or ice.",
        "Let the pipes cool, then bleed air at the highest point and fill up again.",
        "Start the pump and feel for flow at the return. It can be hot enough to scald.",
    ),
    "protect_loop_from_frost": (
        "Wrap every pipe that leaves the heap, joints and valves too.",
        "Run the pump for a few minutes each hour through the frost, or drain the outdoor part.",
        "In a closed loop, use an antifreeze made for heating pipes, as its maker says.",
    ),
    "check_fan": (
        "Switch it off at the plug before you touch it.",
        "Look for a tripped switch, a blown fuse, a blocked inlet, ice or a jammed blade.",
        "Have wiring outdoors done by a licensed electrician, on a safety switch that trips on earth faults.",
        "Do not start it if the core reads {FIRE_OVERHEATING} or more, or if there is smoke.",
    ),
    "drain_duct": (
        "Switch the fan off at the plug.",
        "Find the low point, open or drill a small drain there, and let the water out into a bucket.",
        "Prop the duct so that it falls all the way to the drain.",
        "Wear gloves and do not splash: warm standing water can carry germs.",
    ),
    "find_the_cause": (
        "Read the core each morning in the same spot, and note when fan and pump run.",
        "Squeeze a handful from an arm's depth. It should feel like a wrung-out rag and smell of earth.",
        "Look over the skin for steam, cracks and wind, and at the foot for water. Tell what you found.",
    ),
    "squeeze_again": (
        "Dig in to an arm's depth at three places around the heap and squeeze a handful from each.",
        "Take the middle one of the three. Report it with the next reading, and that you looked again.",
        "Carry no water and mix nothing in before that.",
    ),
    "check_probe": (
        "Stand the tip in a cup of crushed ice and water. It should read freezing, or very near.",
        "Push it in at half the heap's height, to the middle. Leave it until the reading is still.",
        "Read three places an arm's length apart, and take the hottest as the core.",
    ),
    "ventilate_greenhouse": (
        "Open vents and doors from the outside and stay out until the smell is gone.",
        "Stop any fan that blows air from the heap into the house.",
        "If anyone feels ill or dizzy, get them into fresh air and call for help.",
    ),
    "light_backup_heat": (
        "Set the heater to the night target, well away from plants, film and straw.",
        "Give anything that burns its own flue and fresh air, and fit a carbon monoxide alarm.",
        "Lay a second cover over tender plants at dusk.",
    ),
    "watch_heat": (
        "Read the hottest spot at the same hour each day; from {FIRE_OVERHEATING} on, look from afar, twice a day.",
        "Read several spots, and stand upwind. Do not climb on the heap.",
        "At {FIRE_KEEP_CLEAR}, or with smoke or a burnt smell: keep clear and call the fire service.",
    ),
    "wait": (
        "Leave water, feed and draw as they are for now.",
        "Read the core once a day, at the same hour and in the same spot.",
        "Write the readings down, and ask again with them.",
    ),
    "keep_going": (
        "Keep cover and water as they are. Draw by the plan below, or as now where there is none.",
        "Read the core every few days, each day from {FIRE_WATCH_DRY} on.",
        "Squeeze a handful from arm's depth every fortnight, while the core is below that.",
    ),
    "keep_clear_and_call_fire_service": (
        "Keep people and animals well away and upwind.",
        "Call the fire service and tell them it is a heap that may be burning inside.",
        "Do not open it, do not dig, and do not blow air or spray water into it.",
        "If you can do it from afar, switch off any fan and pump on the heap at the plug.",
    ),
}

WATCH_FOR: Final[dict[str, str]] = {
    "add_water": "A squeezed handful from arm's depth that feels like a wrung-out rag, and a core that stops falling.",
    "add_nitrogen": "A core that starts to climb. A sharp smell of ammonia means too much went on.",
    "cover_with_clear_film": "Drops under the film and a warmer skin. A sour smell means it needs a wider vent.",
    "reduce_draw": "A core that stops falling within a few days.",
    "pause_draw": "A core that climbs back. Start again slowly once it holds.",
    "raise_draw": "A core that holds. Go back to the old setting if it starts to fall.",
    "draw_air_instead_of_water": "A core that stops falling, and water that does not collect in the duct.",
    "build_new_pile": "A new heap that is warm to the arm within a week.",
    "start_next_pile": "The next heap hot before this one cools.",
    "enlarge_pile": "A core that climbs within two weeks, and a skin that stays frost free for longer.",
    "top_up": "No new cracks or hollows, and a core that holds.",
    "loosen_pile": "The bad smell gone in a few days, and a core that climbs after a first dip.",
    "add_dry_bulking": "A handful that no longer drips, and an earthy smell within a week.",
    "add_carbon": "The ammonia smell fading within a few days.",
    "insulate": "A warmer skin and less frost on it in the morning.",
    "lift_cover": "The bad smell or the wet skin gone within a day or two.",
    "open_vent_in_film": "Steam at the vent and no sour or rotten smell.",
    "keep_rain_off": "A dry skin after rain and no brown water at the foot.",
    "remove_snow": "Vents that stay open, and no melt water running in.",
    "stop_adding_water": "A handful that drips less each week.",
    "check_loop": "Steady flow, and water that comes back warmer than it went in.",
    "protect_loop_from_frost": "Flow on the first try in the morning, and no drips at the joints.",
    "check_fan": "Air moving in the duct on the first try.",
    "drain_duct": "A dry low point in the duct after a night's run.",
    "find_the_cause": "How much the core falls from one morning to the next.",
    "squeeze_again": "Two of three handfuls that feel alike.",
    "check_probe": "Two readings in the same spot that agree.",
    "ventilate_greenhouse": "No smell from the door before you step in.",
    "light_backup_heat": "The house holding its night target.",
    "watch_heat": "A reading that still climbs, a burnt smell, or any smoke.",
    "wait": "The core's next few readings, taken in the same spot.",
    "keep_going": "A core that starts to fall day after day.",
    "keep_clear_and_call_fire_service": "Smoke, a glow or a burnt smell. Watch from far off and upwind.",
}

_ASK_AROUND: Final = "Ask tree crews for fresh chips with leaves, and a stable for manure with bedding."

ALTERNATIVES: Final[dict[str, str]] = {
    "add_water": "With no water at hand, melt snow, catch roof water, or open the cover while rain falls.",
    "add_nitrogen": "With none at hand, ask for fresh stable manure, coffee grounds or grass, or use diluted urine.",
    "cover_with_clear_film": "With no film, use a tarp, blankets or thick straw, and leave the ridge open.",
    "build_new_pile": _ASK_AROUND,
    "start_next_pile": _ASK_AROUND,
    "enlarge_pile": "Until more can be had, wrap the heap in straw bales or bags of dry leaves.",
    "top_up": "With nothing fresh at hand, rake the edges up into the hollows.",
    "add_dry_bulking": "With none at hand, loosen the wet part, heap it higher and narrower, and let it drain.",
    "add_carbon": "With none at hand, cap the smelling places with a hand's depth of finished compost or soil.",
    "insulate": "With none at hand, bank up dry chips, bags of leaves or old blankets on the windy side.",
    "keep_rain_off": "With no sheet at hand, rake the top to a steep ridge and cut a drain around the foot.",
    "light_backup_heat": "With no heater at hand, move the tender plants together under a second cover.",
}
