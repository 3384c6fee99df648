"""One set of fire limits: rules/tables/thresholds.py, and what texts for people and machines make of it."""

from __future__ import annotations

import re
from pathlib import Path

from rules.tables.thresholds import (
    FIRE_KEEP_CLEAR,
    FIRE_LOOK_DAILY,
    FIRE_OVERHEATING,
    FIRE_WATCH_DRY,
    FIRE_WATCH_RISING,
    HOLDING_FROM,
)
from service.heat.physics.kernel import HOT_DAY_C
from service.problems.fire import KEEP_CLEAR_FROM, WARNING
from service.render.wording import in_words
from service.units.quantities import System
from tests.each import each
from tests.page.reader import ask

ROOT = Path(__file__).parent.parent.parent
LIMITS = {
    limit.value for limit in (FIRE_LOOK_DAILY, FIRE_OVERHEATING, FIRE_KEEP_CLEAR, FIRE_WATCH_DRY, FIRE_WATCH_RISING)
}
SPEAKS_OF_FIRE = re.compile(r"fire service|keep clear|overheat|look daily|smoke", re.IGNORECASE)
CELSIUS = re.compile(r"(\d+(?:\.\d+)?)\s*(?:°C|degC)")


def test_the_limits_are_those_of_the_contract() -> None:
    # Surrey Fire and Rescue (read): 80 degC; the others are common practice, no source
    assert (FIRE_LOOK_DAILY.value, FIRE_OVERHEATING.value, FIRE_KEEP_CLEAR.value) == (70, 75, 80)


@each(
    [
        "README.md",
        "service/machines/README.md",
        "service/api/README.md",
        "service/machines/hub/shape.py",
        "service/machines/webhooks/shape.py",
    ]
)
def test_every_number_beside_fire_is_one_of_them(name: str) -> None:
    for part in re.split(r"\n\s*\n", (ROOT / name).read_text(encoding="utf-8")):
        for sentence in re.split(r"(?<=[.!?])\s", part):
            if SPEAKS_OF_FIRE.search(sentence):
                told = {float(number) for number in CELSIUS.findall(sentence)}
                assert told <= LIMITS, sentence


def test_the_form_and_refusals_quote_the_limit() -> None:
    assert KEEP_CLEAR_FROM in WARNING and KEEP_CLEAR_FROM in ask("GET", "/form").text


def test_no_module_writes_the_limits_again() -> None:
    # Celsius in words beside fire belongs into rules/tables/thresholds.py alone; descriptions are tested above.
    for module in [*(ROOT / "service").rglob("*.py"), *(ROOT / "rules").rglob("*.py")]:
        if "shape" in str(module) or "status" in module.parts or module.name == "thresholds.py":
            continue
        for line in module.read_text(encoding="utf-8").splitlines():
            if SPEAKS_OF_FIRE.search(line) and not line.strip().startswith(("#", '"""')):
                assert not CELSIUS.search(line), (module, line)


@each(
    [
        (74.8, "metric", "74.8 °C"),
        (74.96, "metric", "74.9 °C"),
        (74.96, "us", "166.9 °F"),
        (73.8, "metric", "74 °C"),
        (75.0, "metric", "75 °C"),
        (80.0, "us", "176 °F"),
    ]
)
def test_no_reading_is_rounded_up_onto_a_limit(celsius: float, system: System, told: str) -> None:
    assert in_words(celsius, "degC", system) == told


def test_a_hot_day_is_one_of_working_heat() -> None:
    # the physics knows no rules, so the number stands in both
    assert HOLDING_FROM.value == HOT_DAY_C
