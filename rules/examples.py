"""For each rule, facts by which it fires and facts, one step away, by which it does not: made from its condition."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Final

from rules.language import facts, findings
from rules.language.conditions import All, AnyOf, Condition, Fact, Known, Test, Value, holds, negated

STEPS: Final = {
    "degC": 5.0,
    "delta_degC": 3.0,
    "K/day": 0.5,
    "W": 100.0,
    "kg": 500.0,
    "kg/day": 10.0,
    "m3": 2.0,
    "m": 0.5,
    "kg/m3": 50.0,
    "m/s": 2.0,
    "m3/h": 20.0,
    "L/min": 1.0,
    "min/h": 5.0,
    "%": 5.0,
    "days": 3.0,
    "1": 0.2,
}
"""How far inside a limit an example lies, by the fact's unit (our own)."""
USUAL: Final[dict[str, Value]] = {
    "age_days": 60.0,
    "core_c": 45.0,
    "hottest_c": 48.0,
    "outdoor_c": 2.0,
    "volume_m3": 12.0,
    "phase": "holding",
    "moisture_feel": "damp",
    "smell": "earthy",
    "season": "heating",
    "core_trend_k_per_day": -1.2,
    "draw_over_made": 1.4,
    "draw_over_season": 1.6,
    "house_needs_w": 2000.0,
    "pile_share_percent": 40.0,
}
"""Values for facts that only have to be known."""
CORE_BY_PHASE: Final = {
    "overheating": 78.0,
    "warming": 32.0,
    "falling": 46.0,
    "hot": 57.0,
    "holding": 44.0,
    "spent": 14.0,
    "cold": 20.0,
    "unclear": 35.0,
}
"""A core that goes with each phase, where the rule leaves it open."""
_DECLARED: Final = facts.DECLARED | findings.DECLARED


def firing(condition: Condition) -> dict[str, Value]:
    """Facts by which a condition holds, no more than it needs.

    Raises ValueError where there are none, which would be a rule that can never fire.
    """
    for way in _ways(condition):
        found = _solved(way)
        if found is not None and holds(condition, found) is True:
            return dict(sorted(found.items()))
    raise ValueError(f"no facts make this hold: {condition!r}")


def failing(condition: Condition, fires: dict[str, Value]) -> dict[str, Value]:
    """The same facts, with as little changed as it takes, so that the condition does not hold.

    Where nothing can be false, because the rule only asks for something to be known, that is left out.
    """
    for wanted in (False, None):
        for changed in _one_step_away(condition, fires):
            if holds(condition, changed) is wanted:
                return dict(sorted(changed.items()))
    raise ValueError(f"no facts make this fail: {condition!r}")


def _ways(condition: Condition) -> Iterator[tuple[Test | Known, ...]]:
    """Every choice of alternatives, as the tests that must then hold together."""
    match condition:
        case All(parts):
            for chosen in itertools.product(*(list(_ways(part)) for part in parts)):
                yield tuple(itertools.chain.from_iterable(chosen))
        case AnyOf(parts):
            for part in parts:
                yield from _ways(part)
        case Test() | Known():
            yield (condition,)


def _solved(way: tuple[Test | Known, ...]) -> dict[str, Value] | None:
    """A value for each fact that has to be there, or None where the tests contradict each other."""
    found: dict[str, Value] = {}
    for name in dict.fromkeys(test.fact for test in way):
        tests = [test for test in way if test.fact == name]
        if Known(name, False) in tests:
            continue
        comparisons = [test for test in tests if isinstance(test, Test)]
        found[name] = _value(_DECLARED[name], comparisons)
    if "core_c" in found and not any(test.fact == "core_c" and isinstance(test, Test) for test in way):
        found["core_c"] = CORE_BY_PHASE.get(str(found.get("phase")), found["core_c"])
    return found if all(holds(test, found) is True for test in way) else None


def _value(fact: Fact, tests: list[Test]) -> Value:
    if fact.kind != "number":
        return _word(fact, tests)
    low = max((float(test.limit) for test in tests if test.op in ("$gt", "$gte")), default=None)
    high = min((float(test.limit) for test in tests if test.op in ("$lt", "$lte")), default=None)
    step = STEPS[fact.unit]
    if low is not None and high is not None:
        return round((low + high) / 2, 2)
    if low is not None:
        return round(low + step, 2)
    if high is not None:
        below = high > step or high < 0 or fact.unit in ("degC", "K/day")
        return round(high - step if below else high / 2, 2)
    return USUAL.get(fact.name, step)


def _word(fact: Fact, tests: list[Test]) -> Value:
    for test in tests:
        if test.op == "$eq":
            return test.limit
    unwanted = {test.limit for test in tests}
    usual = USUAL.get(fact.name)
    if usual is not None and usual not in unwanted:
        return usual
    return next(value for value in fact.values or (True, False) if value not in unwanted)


def _one_step_away(condition: Condition, fires: dict[str, Value]) -> Iterator[dict[str, Value]]:
    """Facts that differ in one: numbers first, then words and flags; then in several; then with one left out."""
    opposite = [test for test in _tests(negated(condition)) if isinstance(test, Test) and test.fact in fires]
    for test in sorted(opposite, key=lambda test: _DECLARED[test.fact].kind != "number"):
        fact = _DECLARED[test.fact]
        if fact.kind == "number":
            yield {**fires, test.fact: _value(fact, [test])}
        for value in fact.values or (True, False):
            if fact.kind != "number" and value != fires[test.fact]:
                yield {**fires, test.fact: value}
    for way in _ways(negated(condition)):
        opposed = _solved(way)
        if opposed is not None:
            yield {**fires, **opposed}
    for name in fires:
        yield {kept: value for kept, value in fires.items() if kept != name}


def _tests(condition: Condition) -> Iterator[Test | Known]:
    match condition:
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from _tests(part)
        case Test() | Known():
            yield condition
