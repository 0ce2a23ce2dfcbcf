"""The study file: what is varied around a case, what is computed of it, what is wanted."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, WithJsonSchema, field_validator, model_validator

from pulse1d.case.schema import About
from pulse1d.network.layout import Name
from pulse1d.spec import Coordinate, Ratio, Spec
from pulse1d.study.speeds import speeds_of

FORMAT = "pulse1d study 1"
MOST_VALUES = 1000
"""Most values of one parameter, and steps of a grid along one (judgement)."""


def _no_flag(value: Any) -> Any:
    if isinstance(value, bool):
        raise ValueError("true and false are no values of a parameter; write a quantity or a text")
    return value


Raw = Annotated[int | float | str, BeforeValidator(_no_flag)]
"""A quantity or a text as the file has it: what it means depends on the key that it is set to."""
Sets = Literal["value", "change", "factor"]
"""Whether a number replaces what the base has, is added to it or multiplies it."""


def _listed(value: Any) -> Any:
    return (value,) if isinstance(value, str) else value


def _speeds(value: Any) -> tuple[float, ...]:
    return speeds_of(value)


Paths = Annotated[
    tuple[Annotated[str, Field(min_length=1, max_length=200)], ...],
    BeforeValidator(_listed),
    Field(min_length=1, max_length=100),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
Speeds = Annotated[
    tuple[float, ...],
    BeforeValidator(_speeds),
    WithJsonSchema({"type": ["string", "number", "array"], "items": {"type": "number"}}),
]


class Parameter(Spec):
    """One thing that is varied: where it stands in the case, and what it may be."""

    path: Paths = Field(examples=["runners/*/tail/length"])
    sets: Sets = "value"
    range: tuple[Raw, Raw] | None = Field(None, examples=["[150 mm, 600 mm]"])
    steps: Annotated[int, Field(ge=2, le=MOST_VALUES)] = 5
    """Of a grid, the ends of the range included."""
    values: tuple[Raw, ...] = Field((), max_length=MOST_VALUES)
    choices: tuple[Raw, ...] = Field((), max_length=MOST_VALUES)
    """As ``values``; by its name, what the stock has."""

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        stated = [key for key in ("range", "values", "choices") if getattr(self, key)]
        if len(stated) != 1:
            ways = " and ".join(stated) or "none of range, values and choices"
            raise ValueError(f"a parameter has {ways}; give one: range, values or choices")
        if "steps" in self.model_fields_set and self.range is None:
            raise ValueError("steps belong to a range; delete them, or give a range")
        return self

    @property
    def listed(self) -> tuple[Raw, ...]:
        """What may be chosen; empty for a range [as written]."""
        return self.values or self.choices


class Link(Spec):
    """A value that follows a parameter: factor times it, and plus."""

    path: Paths
    from_: str = Field(alias="from")
    sets: Sets = "value"
    factor: Ratio = 1.0
    plus: Raw = Field(0, examples=["2 mm"])


class Box(Spec):
    """A box of the car or the test cell, in the axes of the flange; a side left out is open."""

    x: tuple[Coordinate, Coordinate] | None = None
    y: tuple[Coordinate, Coordinate] | None = None
    z: tuple[Coordinate, Coordinate] | None = None

    @field_validator("x", "y", "z")
    @classmethod
    def _has_room(cls, side: tuple[float, float] | None) -> tuple[float, float] | None:
        if side is not None and not side[0] < side[1]:
            raise ValueError("the first end is not below the second; exchange them")
        return side


class Constraint(Spec):
    """What every point must keep: a limit on a value or a sum of values, or a box."""

    least: Raw | None = None
    most: Raw | None = None
    of: str | None = None
    """A parameter, a linked value, or a path of the case, in all of its places."""
    plus: Paths | None = None
    box: Box | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        limits = self.least is not None or self.most is not None
        if limits == (self.box is not None) or limits != (self.of is not None):
            raise ValueError(
                "a constraint is a limit or a box; write {most: 700 mm, of: length}, "
                "{least: 1.5 mm, of: wall/thickness} or {box: {x: [-50 mm, 400 mm]}}"
            )
        if self.plus is not None and self.of is None:
            raise ValueError("plus adds to `of`, which is missing; say what the limit is of")
        return self


class Plan(Spec):
    """Which points are computed by a sweep."""

    kind: Literal["grid", "latin hypercube", "sobol", "one at a time"] = "grid"
    points: Annotated[int, Field(ge=1, le=1_000_000)] = 64
    """Of a Latin hypercube or a Sobol sequence."""
    seed: Annotated[int, Field(ge=0, lt=2**32)] = 1


class BenchWanted(Spec):
    """The flow bench, as the case sets it up."""

    bands: bool = False


class CycleWanted(Spec):
    """The running engine."""

    speeds: Speeds = Field(examples=["2000:6000:1000"])
    """[1/min]."""


class Compute(Spec):
    """What is computed of every point."""

    bench: BenchWanted | None = None
    cycle: CycleWanted | None = None

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.bench is None and self.cycle is None:
            raise ValueError(
                "nothing is computed; add `bench: {}` or `cycle: {speeds: 2000:6000:1000}`"
            )
        return self


class Objective(Spec):
    """What is wanted of one answer."""

    answer: str
    aim: Literal["most", "least", "above", "below"]
    limit: Raw | None = None
    """Of ``above`` and ``below``."""
    from_: Annotated[float, Field(gt=0.0)] | None = Field(None, alias="from")
    to: Annotated[float, Field(gt=0.0)] | None = None
    """Lowest and highest speed that counts [1/min]."""

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if (self.aim in ("above", "below")) != (self.limit is not None):
            raise ValueError(
                f"aim {self.aim} {'needs a' if self.limit is None else 'has no'} limit; "
                "write {aim: most}, {aim: least} or {aim: below, limit: 3 %}"
            )
        if self.from_ is not None and self.to is not None and self.from_ > self.to:
            raise ValueError(f"from {self.from_:g} is above to {self.to:g} rev/min; exchange them")
        return self


class StudyFile(Spec):
    """A whole study file."""

    format: Literal["pulse1d study 1"]
    about: About
    base: str = Field(min_length=1, max_length=200, examples=["case.yaml"])
    parameters: dict[Name, Parameter] = Field(min_length=1, max_length=50)
    linked: dict[Name, Link] = Field(default_factory=dict, max_length=200)
    constraints: tuple[Constraint, ...] = ()
    plan: Plan = Plan()
    compute: Compute
    objectives: tuple[Objective, ...] = ()
