"""What must fit together in a question about a mix, beyond each field by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Protocol

from rules.tables.materials import MATERIALS
from service.mix.shapes.things import MixLimits, MixThing, OnHand, RecipePart, Want
from service.status.checks import Misfit, Place
from service.status.quantities import Amount, refused
from service.units.quantities import spell

MOST_CARBON: Final = 0.70
"""Nothing that rots holds more carbon than this in its dry matter but charcoal; more is a slip (our own)."""
SAME: Final = 1e-9


class CheckedMix(Protocol):
    """What the checks read of a question about a mix."""

    @property
    def recipe(self) -> Sequence[RecipePart] | None:
        """The mix to judge."""

    @property
    def on_hand(self) -> Sequence[OnHand] | None:
        """What may go in."""

    @property
    def limits(self) -> MixLimits | None:
        """Limits the proposal must keep."""

    @property
    def want(self) -> Want | None:
        """How much it should come to."""


def carbon_and_nitrogen(thing: MixThing) -> tuple[float, float]:
    """Carbon and nitrogen of the dry matter [fractions], from what was given and, for the rest, the material's own."""
    own = MATERIALS[thing.material]
    carbon = own.carbon.value if thing.carbon is None else thing.carbon / 100
    nitrogen = own.nitrogen.value if thing.nitrogen is None else thing.nitrogen / 100
    if thing.c_to_n is not None:
        if thing.nitrogen is not None:
            carbon = nitrogen * thing.c_to_n
        else:
            nitrogen = carbon / thing.c_to_n
    return carbon, nitrogen


def density_of(thing: MixThing) -> float:
    """Bulk density as it lies: the one given, else the material's own. [kg/m3]

    Where only the moisture was measured, the dry matter in a volume is kept and the water changes the weight, within
    the published range.
    """
    own = MATERIALS[thing.material]
    if thing.density is not None:
        return thing.density
    if thing.moisture is None:
        return own.density.value
    dry = max(1.0 - thing.moisture / 100, SAME)
    return min(max(own.density.value * own.dry_fraction / dry, own.density.low), own.density.high)


def kilograms(amount: Amount, thing: MixThing) -> float:
    """An amount of a thing as mass. [kg]"""
    return amount.value * density_of(thing) if amount.dimension == "volume" else amount.value


def mix_misfits(request: CheckedMix) -> list[Misfit]:
    """What cannot all be true, or is missing: where, and why."""
    return [*_question_misfits(request), *_thing_misfits(request), *_amount_misfits(request), *_bound_misfits(request)]


def _question_misfits(request: CheckedMix) -> Iterator[Misfit]:
    if not request.recipe and not request.on_hand:
        yield (), refused("a recipe to judge is needed, or things on hand to choose amounts from, or both")
    want = request.want
    if want is not None and (want.volume is None) == (want.mass is None):
        yield ("want",), refused('give one of "volume" and "mass"; leave "want" out if you do not mind')


def _thing_misfits(request: CheckedMix) -> Iterator[Misfit]:
    for name, things in (("recipe", request.recipe), ("on_hand", request.on_hand)):
        for index, thing in enumerate(things or []):
            yield from _composition_misfits((name, index), thing)


def _composition_misfits(place: Place, thing: MixThing) -> Iterator[Misfit]:
    if None not in (thing.carbon, thing.nitrogen, thing.c_to_n):
        yield (*place, "c_to_n"), refused("carbon, nitrogen and C:N are two numbers, not three: leave one of them out")
        return
    carbon, nitrogen = carbon_and_nitrogen(thing)
    given = [each for each in ("c_to_n", "carbon", "nitrogen") if getattr(thing, each) is not None]
    limit = max(MOST_CARBON, MATERIALS[thing.material].carbon.high)
    if given and (carbon > limit or carbon + nitrogen > 1):
        detail = (
            f"these would make the dry matter {100 * carbon:.0f} % carbon and {100 * nitrogen:.1f} % nitrogen, more "
            "than can be; published nitrogen and C:N are averaged apart and may not fit each other"
        )
        allowed = f"at most {100 * limit:.0f} % carbon, and 100 % of both"
        yield (*place, given[0]), refused(detail, read=spell(round(100 * carbon, 1), "% carbon"), allowed=allowed)


def _amount_misfits(request: CheckedMix) -> Iterator[Misfit]:
    recipe = request.recipe or []
    by_share = any(part.share is not None for part in recipe)
    for index, part in enumerate(recipe):
        if part.amount is not None and by_share:
            yield ("recipe", index, "amount"), refused("give every part an amount, or every part a share; not both")
        elif part.amount is None and part.share is None:
            wanted = "a share, like the others" if by_share else 'an "amount", such as "400 kg", or a "share"'
            yield ("recipe", index, "amount"), refused(f"this part needs {wanted}")
    for index, thing in enumerate(request.on_hand or []):
        if thing.least is None or thing.most is None:
            continue
        least, most = kilograms(thing.least, thing), kilograms(thing.most, thing)
        if least > most * (1 + SAME):
            detail = "the least that must go in is more than the most there is"
            read = f"{spell(round(least, 3), 'kg')} and {spell(round(most, 3), 'kg')}"
            yield ("on_hand", index, "least"), refused(detail, read=read)


def _bound_misfits(request: CheckedMix) -> Iterator[Misfit]:
    limits = request.limits
    for name in type(limits).model_fields if limits is not None else ():
        bounds = getattr(limits, name)
        if bounds is not None and bounds.low is not None and bounds.high is not None and bounds.low > bounds.high:
            read = f"{bounds.low:g} and {bounds.high:g}"
            yield ("limits", name, "low"), refused("the lowest allowed is above the highest allowed", read=read)
