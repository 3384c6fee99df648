"""What each assumption does to the answer: the flow run again with the field given, at either end of its range."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from rules.tables.fields import FIELDS
from rules.tables.glazing import GLAZINGS
from service.answer.quantities import measured, quantity
from service.facts.record import Assumption
from service.picture.record import Picture
from service.status.change import with_ingredients, with_value, with_volume
from service.status.field import measure_of
from service.status.models import Status
from service.units.quantities import System, to_units
from service.why.flow import Rerun, rerun
from service.why.inputs import input_in_words
from service.why.shape import AssumedEffect, IfItWere

_WORDS: Final = ("/pile/cover", "/draw/air/path", "/draw/water/tube")
"""Fields for which a word was assumed; each other word is tried."""
_TAKEN: Final = {"/draw/air/path": "closed_duct", "/draw/water/tube": "plastic"}


def assumptions_shown(picture: Picture, now: Rerun, system: System) -> list[AssumedEffect]:
    """Every assumption with what would follow at each end of its range, or with each other word."""
    return [_shown(assumption, picture, now, system) for assumption in picture.derived.assumed]


def _shown(assumption: Assumption, picture: Picture, now: Rerun, system: System) -> AssumedEffect:
    tried = [_effect(label, rerun(status), system) for label, status in _instead(assumption, picture, system)]
    return {
        "field": assumption.pointer,
        **measured(assumption.estimate, assumption.quantity, system),
        "why": assumption.why,
        "if_it_were": tried,
        "changes_first_action": any(item["first_action"] != now.first_action for item in tried) if tried else None,
    }


def _effect(label: str, run: Rerun, system: System) -> IfItWere:
    season = quantity(run.picture.accounts.season_draw, "power", system)
    return {"value": label, "first_action": run.first_action, "season_draw": season}


def _instead(assumption: Assumption, picture: Picture, system: System) -> Iterator[tuple[str, Status]]:
    """What to try instead of the assumption, in the reader's words, with the status that says so."""
    status, pointer, estimate = picture.status, assumption.pointer, assumption.estimate
    if pointer in _WORDS:
        taken = picture.estimate.cover if pointer == "/pile/cover" else _TAKEN[pointer]
        for word in FIELDS[pointer].words:
            if word != taken:
                yield word, with_value(status, pointer, word)
    elif pointer == "/greenhouse/glazing":
        kinds = sorted(GLAZINGS.values(), key=lambda glazing: (glazing.u_value[0], glazing.id))
        for glazing in (kinds[0], kinds[-1]):
            yield glazing.id, with_value(status, pointer, glazing.id)
    elif estimate.low < estimate.high:
        for end in (estimate.low, estimate.high):
            other = _with_number(status, pointer, end, picture)
            if other is not None:
                yield input_in_words(_few_digits(end, assumption, system), assumption.quantity, system), other


def _few_digits(si: float, assumption: Assumption, system: System) -> float:
    return float(format(to_units(si, assumption.quantity, system)[0], ".4g"))


def _with_number(status: Status, pointer: str, value: float, picture: Picture) -> Status | None:
    """The status with an assumed number given; None where no single field takes it."""
    match pointer:
        case "/pile/size/volume":
            return with_volume(status, value)
        case "/pile/ingredients":
            wood = value / 100
            shares = {"wood_chips": wood, "horse_manure": 1 - wood}
            return with_ingredients(
                status, {name: share for name, share in shares.items() if share > 0}, picture.size.volume.value
            )
        case "/pile/wind":
            return with_value(status, "/weather/wind_speed", value)
        case "/draw/air" | "/draw/water":
            return with_value(status, f"{pointer}/flow", value)
        case "/goal/until":
            return with_value(status, pointer, status.as_of.date() + timedelta(days=round(value)))
    record = FIELDS[pointer].number
    assert record is not None  # a number was assumed
    measure = measure_of(record)
    return with_value(status, pointer, min(max(value, measure.low), measure.high))
