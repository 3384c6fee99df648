"""The one place that talks to the rule engine, durable-rules 2.0.28.

A `RuleSet` keeps to the use of that library which was found safe: one wide message for each evaluation under a fresh
state id, one live state at a time, no timer threads, conditions against constants only, and a last rule that proves
the run was complete. The same conditions in plain Python check every answer.
"""

from __future__ import annotations

import itertools
import logging
import os
import threading
import weakref
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

import orjson
from durable import engine as durable_engine
from durable.engine import Host, durable_rules_engine

from rules.engine.envelope import KIND, SELF_TEST, check_condition, check_names, checked_facts
from rules.engine.network import KIND_VALUE, behind_marks, grouped
from rules.engine.plain import compile_all
from rules.language.conditions import Condition, Fact, Facts, Value, facts_read

_log = logging.getLogger(__name__)
_names: Final = (f"rules{number}" for number in itertools.count())
_alive: Final[weakref.WeakSet[RuleSet]] = weakref.WeakSet()
differed: Final[Counter[str]] = Counter()
"""How often engine and plain Python differed on each rule, until somebody takes the counts."""

_END: Final = "end"
_SELF_TEST: Final = "self-test"
_LAST: Final = 60_000  # priority: lower fires first, 65535 is the largest


class EngineError(RuntimeError):
    """The rule engine failed twice in a row on one evaluation, cannot be built, or fails its self-test."""


class _QuickJson:
    """JSON for the library. Rounded numbers up to 1e9 are written without an exponent, which the engine cannot read."""

    loads = staticmethod(orjson.loads)

    @staticmethod
    def dumps(value: object, ensure_ascii: bool = False) -> str:
        """As the library calls it."""
        return orjson.dumps(value).decode()


durable_engine.json = _QuickJson


class _QuietHost(Host):  # type: ignore[misc]
    """A host without the library's two timer threads: they call the engine outside any lock."""

    def _run(self) -> None:
        pass


class RuleSet:
    """Conditions by rule id, evaluated together on one set of facts.

    `rules` are pairs of a unique id and a condition; `facts` declares every fact that may be named, by conditions and
    in evaluations. Raises ValueError for conditions the engine would misread, naming rule and fact, and EngineError
    when the engine does not work here. Safe to use from several threads and after a fork.
    """

    def __init__(self, rules: Sequence[tuple[str, Condition]], facts: Mapping[str, Fact]) -> None:
        conditions = dict(rules)
        if len(conditions) != len(rules):
            raise ValueError("a rule id is used twice")
        for rule_id, condition in rules:
            check_condition(rule_id, condition, facts)
        self._declared = facts
        self._read = sorted(frozenset[str]().union(*map(facts_read, conditions.values())))
        check_names([facts[name] for name in self._read])
        groups = grouped(list(conditions.values()))
        self._definition = [behind_marks(part, number) for number, group in enumerate(groups) for part in group]
        self._marks: dict[str, Value] = {KIND: KIND_VALUE, **{f"g{number}": 1 for number in range(len(groups))}}
        self._ids = tuple(conditions)
        self._certain = compile_all(conditions)
        self._sids: Iterator[str] = map(str, itertools.count())
        self._ruleset: Any = None
        self._release: Callable[[], object] = lambda: None
        self._lock = threading.Lock()
        try:
            self._start()
        except EngineError:
            raise
        except Exception as error:
            raise EngineError("the rule engine cannot be built from these rules") from error
        _alive.add(self)

    def fired(self, facts: Facts) -> frozenset[str]:
        """Ids of the rules whose condition is certainly true: what the engine fired, once the plain check agrees.

        Where the two differ, which is a fault of the engine, the difference is counted and logged, and the check's are
        given: a wrong answer is worse than one that the engine did not give.

        Raises ValueError, naming the fact, for facts that are undeclared or out of bounds (see `checked_facts`; a
        fact that no rule reads is not looked at), and EngineError when the engine fails again after a rebuild.
        """
        checked = checked_facts(facts, self._declared, self._read)
        with self._lock:
            fired = self._evaluate(checked)
        check = self._certain(checked)
        if fired == check:
            return fired
        differed.update(fired ^ check)
        _log.error("the engine and plain Python differ on rules %s", sorted(fired ^ check)[:20])
        return check

    def fired_plainly(self, facts: Facts) -> frozenset[str]:
        """The same ids as `fired` and the same refusals, from plain Python alone, for many re-runs."""
        return self._certain(checked_facts(facts, self._declared, self._read))

    def _evaluate(self, facts: Mapping[str, Value]) -> frozenset[str]:
        try:
            return self._run(facts)
        except Exception as error:
            # Cut short: some of the library's exceptions quote the whole message.
            _log.warning("the rule engine failed and is built anew: %s: %.80s", type(error).__name__, error)
        try:
            return self._run(facts)
        except Exception as error:
            raise EngineError("the rule engine failed twice on one evaluation") from error

    def _run(self, facts: Mapping[str, Value]) -> frozenset[str]:
        if self._ruleset is None:
            self._start()
        return frozenset([self._ids[int(hit[1:])] for hit in self._assert(facts) if hit != _END])

    def _assert(self, facts: Mapping[str, Value]) -> list[str]:
        """Assert one message under a new state id and give what fired, in order. Whatever goes wrong, drop the host."""
        ruleset, sid, complete = self._ruleset, next(self._sids), False
        try:
            hits = _fired_in_order(ruleset._handle, ruleset.assert_fact({"sid": sid, **self._marks, **facts}))
            ruleset.delete_state(sid)
            complete = hits[-1:] == [_END]
        finally:
            if not complete:
                self._stop()
        if not complete:
            raise EngineError("the rule engine stopped before its last rule")
        return hits

    def _start(self) -> None:
        """Build the host and prime it: deleting a state crashes unless an earlier one in its place was handled."""
        rules = {
            f"r{number}": {"all": [{"m": condition}], "run": _nothing}
            for number, condition in enumerate(self._definition)
        }
        half = {"$and": [{KIND: KIND_VALUE}, {"$gt": {SELF_TEST: 0.4}}]}
        rules[_SELF_TEST] = {"all": [{"m": half}], "run": _nothing}
        rules[_END] = {"all": [{"m": {KIND: KIND_VALUE}}], "run": _nothing, "pri": _LAST}
        name = next(_names)
        self._ruleset = _QuietHost({name: rules}).get_ruleset(name)
        self._release = _releaser(self, self._ruleset._handle)
        if _SELF_TEST not in self._assert({SELF_TEST: 0.5}):
            self._stop()
            raise EngineError("the rule engine misreads 0.5: LC_NUMERIC must be a locale with a decimal point")

    def _stop(self) -> None:
        self._ruleset = None
        self._release()

    def _after_fork(self) -> None:
        # The thread that held the lock does not exist in the child, and may have left the engine halfway.
        if self._lock.locked():
            self._ruleset = None
        self._lock = threading.Lock()


def _nothing(_closure: object) -> None:
    """What the library would run for a rule; the names of those that fire are taken from `_fired_in_order`."""


def _fired_in_order(handle: int, state: int) -> list[str]:
    """Names of the rules that fire on a state, last the one with the lowest priority.

    The library's own loop reads the whole message again for each rule, for actions that look at it; ours do not.
    """
    started = durable_rules_engine.start_action_for_state(handle, state)
    message = started[1] if started else None
    hits = []
    while message:
        hits.append(message[2 : message.index('"', 2)])  # {"name":{"m":{...}}}
        message = durable_rules_engine.complete_and_start_action(handle, state)
    return hits


def _releaser(owner: RuleSet, handle: int) -> Callable[[], object]:
    """Frees the engine's memory, once: on demand, or when `owner` is gone. The library itself never does."""
    release = weakref.finalize(owner, _delete_ruleset, handle)
    release.atexit = False
    return release


def _delete_ruleset(handle: int) -> None:
    try:
        durable_rules_engine.delete_ruleset(handle)
    except Exception:
        _log.warning("the rule engine would not free its memory", exc_info=True)


def _renew_all() -> None:
    for rule_set in list(_alive):
        rule_set._after_fork()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_renew_all)
