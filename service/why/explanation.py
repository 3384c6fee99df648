"""Why this answer: every rule with its tests, what would change the first action, and what assumptions do to it."""

from __future__ import annotations

from collections import Counter

from rules import RULES
from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.engine.verdict import RuleState
from rules.version import knowledge_version
from service.status.models import Status
from service.units.quantities import System
from service.why.assumptions import assumptions_shown
from service.why.flips import Flip, smallest_flip
from service.why.flow import Rerun, rerun
from service.why.rules import Case, facts_shown, limits_shown, rule_shown
from service.why.shape import Change, Explanation


def explain(status: Status, rule_id: str | None = None, units: System | None = None) -> Explanation:
    """Explain the answer to a status.

    Parameters
    ----------
    status
        What is known of the heap.
    rule_id
        Explain this rule alone, which is quicker: nothing is run again then.
    units
        Units of the explanation; the status's own where None.

    Raises
    ------
    KeyError
        There is no rule of that id.
    """
    system = units or status.units
    now = rerun(status)
    case = Case.of(now.picture, now.ranked, system)
    asked = [RULES[rule_id]] if rule_id else list(RULES.values())
    rules = [rule_shown(rule, case) for rule in asked]
    states = Counter(rule["state"] for rule in rules)
    return {
        "as_of": status.as_of.isoformat(),
        "knowledge_version": knowledge_version(),
        "units": system,
        "first_action": now.first_action,
        "counts": {state.value: states[state.value] for state in RuleState},
        "rules": rules,
        "facts": facts_shown(asked),
        "limits": limits_shown(asked, system),
        "what_would_change": None if rule_id else _change(now, system),
        "assumed": [] if rule_id else assumptions_shown(now.picture, now, system),
    }


def _change(run: Rerun, system: System) -> Change | None:
    """The smallest change of one field that flips the first action, or None where none was found."""
    flip, tried = smallest_flip(run, system)
    if flip is None:
        return None
    now = run.first_action
    titles = {"then": ACTIONS[flip.first_action].title, "now": ACTIONS[now].title}
    return {
        "field": flip.pointer,
        "from": flip.old,
        "to": flip.new,
        "first_action_now": now,
        "first_action_then": flip.first_action,
        "tried": tried,
        "text": said("explained.flip", change=_change_said(flip), **titles),
    }


def _change_said(flip: Flip) -> str:
    """The change in words."""
    if isinstance(flip.new, list):
        more, less = set(flip.new) - set(flip.old), set(flip.old) - set(flip.new)
        what = _in_words(*(more or less))
        return said("explained.flip.seen" if more else "explained.flip.not-seen", what=what)
    name = _in_words(" ".join(flip.pointer.split("/")[2:]) or flip.pointer.strip("/"))
    return said("explained.flip.other", name=name, new=_in_words(flip.new), old=_in_words(flip.old))


def _in_words(word: str) -> str:
    return word.replace("_", " ")
