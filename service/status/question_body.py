"""The base of a question that is read as a status is: in its own units, and refused where not all of it can be true."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, Self

from pydantic import ModelWrapValidatorHandler, PrivateAttr, ValidationError, model_validator
from pydantic_core import InitErrorDetails

from service.status.checks import Misfit
from service.status.part import Part
from service.status.quantities import bare_numbers_in
from service.status.status import ReadAs


class QuestionBody(Part):
    """A question with `units` for its bare numbers; `material_lists` are its fields whose entries name a material."""

    material_lists: ClassVar[tuple[str, ...]] = ()

    _read_as: tuple[ReadAs, ...] = PrivateAttr(default=())

    @property
    def read_as(self) -> tuple[ReadAs, ...]:
        """Names that were read by a synonym, in the order of the body."""
        return self._read_as

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        yield from ()

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if not isinstance(data, dict):
            return handler(data)
        given = {key: value for key, value in data.items() if value is not None or key != "units"}
        with bare_numbers_in("us" if given.get("units") == "us" else "metric"):
            question = handler(given)
        errors = [InitErrorDetails(type=error, loc=place, input=None) for place, error in question.misfits()]
        if errors:
            raise ValidationError.from_exception_data(cls.__name__, errors)
        question._read_as = tuple(
            ReadAs(f"/{name}/{index}/material", given[name][index]["material"], part.material)
            for name in cls.material_lists
            for index, part in enumerate(getattr(question, name) or [])
            if given[name][index]["material"] != part.material
        )
        return question
