"""The measurement model: gauges to flow at the stated test pressure, for many shifts at once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pulse1d.measure import causes
from pulse1d.measure.air import (
    Array,
    Stream,
    density,
    gas_constant,
    isentropic_flux,
    ratio_of_heats,
)
from pulse1d.measure.meters import mass_flow
from pulse1d.measure.plan import Plan
from pulse1d.measure.propagate import Input
from pulse1d.measure.reading import Reading
from pulse1d.measure.spec import Header

LEAST = 1e-12
"""Flow that a shifted reading keeps, so that its logarithm exists [kg/s]."""


class Flows(NamedTuple):
    """What the model gives; arrays (runs, part rows) unless said otherwise."""

    mdot: Array
    """Through the part, leak and drift corrected [kg/s]."""
    leak: Array
    """Taken off [kg/s]."""
    q_actual: Array
    """[m^3/s]"""
    cda: Array
    """[m^2]"""
    flow: Array
    """[m^3/s]"""
    ratio: Array
    """(runs, check rows): what the bench reads over what it should [-]."""


class Model:
    """A session's measurement model; call it with shifts (runs, inputs) for ln flow."""

    def __init__(self, made: Plan, inputs: Sequence[Input]) -> None:
        self.made, self.header = made, made.header
        self.at = {item.name: (i, item.u) for i, item in enumerate(inputs)}
        self.meter_names = np.array([r.meter for r in made.readings])
        room = made.header.room.temperature
        self.gamma_part, self.gamma_meter = (
            np.array(
                [ratio_of_heats(r.p_room, room, r.humidity, getattr(r, T)) for r in made.readings]
            )
            for T in ("T_part", "T_meter")
        )

    def __call__(self, z: Array) -> Array:
        """Outputs ln flow (runs, part rows)."""
        return np.asarray(np.log(self.flows(z).flow))

    def nominal(self) -> Flows:
        """Flows with no shift, one run."""
        return self.flows(np.zeros((1, len(self.at))))

    def _shift(self, z: Array, name: str) -> Array:
        """(runs, 1) shift of one input in its unit; zero when the session has no such input."""
        if name not in self.at:
            return np.zeros((len(z), 1))
        i, u = self.at[name]
        return z[:, i : i + 1] * u

    def _row_shifts(self, z: Array, family: str) -> Array:
        """(runs, rows) shifts of the inputs that belong to one row each; zero where none does."""
        found = [self.at.get(causes.row(family, r), (0, 0.0)) for r in self.made.readings]
        columns, u = [i for i, _ in found], [u for _, u in found]
        return np.asarray(z[:, columns] * u)

    def flows(self, z: Array) -> Flows:
        """All results for shifts of the inputs (runs, inputs), in units of each one's u."""
        made = self.made
        p_room = made.column("p_room") + self._shift(z, "barometer")
        RH = made.column("humidity") + self._shift(z, "humidity")
        R = gas_constant(p_room, self.header.room.temperature, RH)
        dp = made.column("test_pressure") + self._row_shifts(z, causes.TEST)
        sign = 1.0 if self.header.set_up.direction == "blown" else -1.0
        chamber = p_room + sign * dp
        T_part = made.column("T_part") + self._shift(z, "thermometer part")
        up = Stream(np.maximum(p_room, chamber), T_part, R, self.gamma_part)
        through, leak = self._metered(z, p_room, chamber, dp, R)
        flux = isentropic_flux(up, up.p - dp)
        cda = np.maximum(through - leak, LEAST) / flux
        ratio = self._drift(z, cda[:, made.checks])
        parts = made.parts
        by = ratio @ made.drift_weights.T if len(made.checks) else np.ones((1, len(parts)))
        by = by * (1.0 + self._unknown_drift(z))
        for_part = np.concatenate([self._part_shift(z, r.part) for r in self._parts()], axis=1)
        cda_part = cda[:, parts] / by * (1.0 + for_part)
        mdot = cda_part * flux[:, parts]
        return Flows(
            mdot,
            leak[:, parts],
            mdot / up.rho[:, parts],
            cda_part,
            cda_part * flux_at(self.header, self.header.set_up.test_pressure) / self._rho_ref,
            ratio,
        )

    @property
    def _rho_ref(self) -> float:
        return density(self.header.reference)

    def _parts(self) -> list[Reading]:
        return [self.made.readings[i] for i in self.made.parts]

    def _metered(
        self, z: Array, p_room: Array, chamber: Array, dp: Array, R: Array
    ) -> tuple[Array, Array]:
        """Mass flow through the meter and the leak in it, of every row (runs, rows)."""
        made = self.made
        T = made.column("T_meter") + self._shift(z, "thermometer meter")
        inlet = chamber if self.header.set_up.meter_inlet == "chamber" else p_room
        air = Stream(inlet, T, R, self.gamma_meter)
        shown = made.column("meter_reading") + self._row_shifts(z, causes.METER)
        through = np.empty_like(shown)
        for meter in self.header.meters:
            on = np.flatnonzero(self.meter_names == meter.name)
            own = Stream(*(field[..., on] for field in air))
            error = self._shift(z, f"meter constant, {meter.name}")
            error = error + self._shift(z, f"range step, {meter.name}")
            through[:, on] = mass_flow(meter, shown[:, on], own) * (1.0 + error)
        of = made.leak_of
        blank = through + self._row_shifts(z, causes.LEAK) * air.rho
        leak = np.where(of >= 0, blank[:, of] * np.sqrt(dp / dp[:, of]), 0.0)
        return through, leak

    def _drift(self, z: Array, cda: Array) -> Array:
        """(runs, check rows) effective area of the check plate over what it should be."""
        plate = self.header.check_plate
        if plate is None or plate.flow is None:
            return np.asarray(cda / cda[:, self.made.first_check])
        flux = flux_at(self.header, self.header.set_up.test_pressure)
        certified = plate.flow * self._rho_ref / flux
        return np.asarray(cda / (certified * (1.0 + self._shift(z, "check plate"))))

    def _unknown_drift(self, z: Array) -> Array:
        level = self._shift(z, causes.NO_CHECK) + self._shift(z, causes.NOT_CERTIFIED)
        return level + self._shift(z, causes.IN_SESSION) * self.made.progress

    def _part_shift(self, z: Array, part: str) -> Array:
        return self._shift(z, f"seating, {part}") + self._shift(z, f"leak not read, {part}")


def flux_at(header: Header, test_pressure: float) -> float:
    """Isentropic mass flow per area of reference air at a test pressure, in the set-up's direction.

    Parameters
    ----------
    header : Header   [SI]
    test_pressure : float   [Pa]
    Returns
    -------
    G : float   [kg/s/m^2]
    """
    air = header.reference
    up = air.pressure + (test_pressure if header.set_up.direction == "blown" else 0.0)
    R = float(gas_constant(air.pressure, air.temperature, air.humidity))
    gamma = ratio_of_heats(air.pressure, air.temperature, air.humidity, air.temperature)
    return float(isentropic_flux(Stream(up, air.temperature, R, gamma), up - test_pressure))
