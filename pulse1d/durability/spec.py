"""What a case says for the durability screening: heat, head, cycle, flange, weld, fasteners."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from pulse1d.durability.fastener_spec import Fasteners
from pulse1d.durability.hung_spec import Hung
from pulse1d.durability.own_material import MaterialName, OwnMaterial
from pulse1d.spec import (
    Fraction,
    HeatTransferCoefficient,
    PositiveLength,
    Spec,
    Temperature,
    Time,
)


class HotGas(Spec):
    """Gas at the walls: stated, or the mean of a running engine's cycle, pipe by pipe."""

    from_: Literal["cycle"] | None = Field(default=None, alias="from")
    speed: Annotated[float, Field(gt=0.0, le=20_000.0)] | None = None
    """Of the engine [rev/min]."""
    temperature: Temperature | None = None
    heat_transfer: Annotated[HeatTransferCoefficient, Field(gt=0.0)] | None = None

    @model_validator(mode="after")
    def _one_or_the_other(self) -> Self:
        stated = self.temperature is not None or self.heat_transfer is not None
        if self.from_ is not None and (stated or self.speed is None):
            raise ValueError("gas from a cycle has a `speed` and nothing else; drop one of the two")
        if self.from_ is None and (self.temperature is None or self.heat_transfer is None):
            raise ValueError(
                "the gas has no engine result and no given state; "
                "state `temperature` and `heat transfer`, or `from: cycle` and a `speed`"
            )
        if self.from_ is None and self.speed is not None:
            raise ValueError(
                "a `speed` means nothing to a stated gas; drop it, or add `from: cycle`"
            )
        return self


class Outside(Spec):
    """Air around the part, and how well its skin radiates."""

    temperature: Temperature = 323.15
    heat_transfer: HeatTransferCoefficient = 15.0
    emissivity: Fraction = 0.8


class HeadSide(Spec):
    """The head at the flange face."""

    material: MaterialName = "aluminium head"
    temperature: Temperature = 383.15
    contact: Annotated[HeatTransferCoefficient, Field(gt=0.0)] = 600.0
    """Through gasket and joint."""


class Start(Spec):
    """One start: warm up at full gas heat, then cool down with the gas off."""

    warm_up: Annotated[Time, Field(gt=0.0, le=36_000.0)] = 300.0
    cool_down: Annotated[Time, Field(gt=0.0, le=36_000.0)] = 300.0
    start: Temperature = 293.15


class Flange(Spec):
    """The flange on the head: one bar, one for each port, or one bar cut between ports."""

    material: MaterialName | None = None
    """None: as the wall."""
    thickness: PositiveLength = 0.010
    width: PositiveLength = 0.020
    """Of the bar around the ports, for heat and stiffness."""
    kind: Literal["one piece", "split", "slotted"] = "one piece"
    slot: PositiveLength | None = None
    """Width of the cut that is left open between two ports."""

    @model_validator(mode="after")
    def _slots_belong_to_slotted(self) -> Self:
        if (self.kind == "slotted") != (self.slot is not None):
            raise ValueError(
                f"a {self.kind} flange and its `slot` do not agree; "
                "a slotted flange states its `slot`, others have none"
            )
        return self


class Weld(Spec):
    """The weld of tube and flange."""

    kind: Literal["dressed", "as welded", "fillet", "uninspected root"]
    throat: PositiveLength = 0.002


class Durability(Spec):
    """What `pulse1d life` needs beyond the design itself."""

    gas: HotGas
    outside: Outside = Outside()
    head: HeadSide = HeadSide()
    cycle: Start = Start()
    flange: Flange = Flange()
    weld: Weld | None = None
    """None: cast in one with its flange."""
    fasteners: Fasteners | None = None
    hung: Hung | None = None
    materials: dict[MaterialName, OwnMaterial] = Field(default={}, max_length=20)

    @model_validator(mode="after")
    def _weld_fits_its_flange(self) -> Self:
        if self.weld is not None and self.flange.thickness < self.weld.throat:
            raise ValueError(
                f"the flange is {1e3 * self.flange.thickness:.4g} mm thick, thinner than its weld "
                f"of {1e3 * self.weld.throat:.4g} mm throat; make one of them fit the other"
            )
        return self
