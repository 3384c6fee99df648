"""The steps that stand in place of the usual ones where one reason asks, few days are left, or nothing is fitted."""

from __future__ import annotations

from typing import Final

CLOSING_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "check_loop": (
        "Let nobody drink, spray or wash with its water meanwhile, and water no plants with it from above.",
        "Have a heat exchanger fitted between the heap's pipe and what uses the heat: then its water only goes round.",
        "Fit an expansion tank and a relief valve to the closed loop, dripping where nobody stands.",
        "Before anybody works on it, switch the pump off at the plug and let the pipes cool.",
    ),
}
"""Where an open loop is to be closed, and nothing else is wrong with it."""

ENDING_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "raise_draw": (
        "Set it as given here in one step: too few days are left for small ones.",
        "Read the core each morning, and go back to the old setting if it falls faster than you can bear.",
    ),
}
"""Where fewer days are left to the goal than a small step takes to show."""

UNFITTED_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "keep_going": (
        "Keep cover and water as they are.",
        "Read the core every few days, each day from {FIRE_WATCH_DRY} on.",
        "Squeeze a handful from arm's depth every fortnight, while the core is below that.",
    ),
}
"""Where nothing is fitted to draw heat with."""
