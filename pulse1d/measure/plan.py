"""Which leak and which check rows belong to a reading, and what makes a session unfit to reduce."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pulse1d.errors import InputError, Problem
from pulse1d.measure.air import Array, Stream, gas_constant, ratio_of_heats
from pulse1d.measure.meter_specs import Meter
from pulse1d.measure.meters import check
from pulse1d.measure.reading import Reading, Session
from pulse1d.measure.spec import Header

Index = NDArray[np.intp]
KINDS = ("part", "leak", "check")
MAX_ROWS = 2000
"""Most rows of a session: its table of sensitivities then takes 64 MB and some seconds."""


@dataclass(frozen=True)
class Plan:
    """A session put in order of time, with the row that each correction comes from."""

    header: Header
    readings: tuple[Reading, ...]

    def indices(self, what: str) -> Index:
        """Rows of one kind."""
        return np.array([i for i, r in enumerate(self.readings) if r.what == what], dtype=np.intp)

    @cached_property
    def parts(self) -> Index:
        """Rows of parts."""
        return self.indices("part")

    @cached_property
    def checks(self) -> Index:
        """Rows of the check plate."""
        return self.indices("check")

    @cached_property
    def leak_of(self) -> Index:
        """The leak row that each row is corrected by; -1 for none."""
        leaks = [int(i) for i in self.indices("leak")]
        return np.array([self._leak(r, leaks) for r in self.readings], dtype=np.intp)

    def _leak(self, reading: Reading, leaks: Sequence[int]) -> int:
        if reading.what == "leak":
            return -1
        same_part = [i for i in leaks if self.readings[i].part == reading.part]
        same_port = [i for i in same_part if self.readings[i].port == reading.port]
        for group in (same_port, same_part, leaks):
            if group:
                return min(group, key=lambda i: abs(self.readings[i].order - reading.order))
        return -1

    @cached_property
    def first_check(self) -> Index:
        """Position among the check rows of the first one on the same meter, for each of them."""
        meters = [self.readings[i].meter for i in self.checks]
        return np.array([meters.index(name) for name in meters], dtype=np.intp)

    @cached_property
    def drift_weights(self) -> Array:
        """(parts, checks): straight in order between check rows, level before and behind them."""
        weights = np.zeros((len(self.parts), len(self.checks)))
        orders = [self.readings[i].order for i in self.checks]
        meters = [self.readings[i].meter for i in self.checks]
        for at, i in enumerate(self.parts):
            own = [k for k, name in enumerate(meters) if name == self.readings[i].meter]
            use = own or list(range(len(meters)))
            known = [float(orders[k]) for k in use]
            for position, k in enumerate(use):
                unit = np.eye(len(use))[position]
                weights[at, k] = np.interp(self.readings[i].order, known, unit)
        return weights

    @cached_property
    def progress(self) -> Array:
        """Place of each part row in the session, -0.5 first to 0.5 last."""
        order = np.array([r.order for r in self.readings], dtype=float)
        span = max(float(np.ptp(order)), 1.0)
        return np.asarray((order[self.parts] - order.min()) / span - 0.5)

    def column(self, name: str) -> Array:
        """One number of every row."""
        return np.array([getattr(r, name) for r in self.readings], dtype=float)

    @property
    def meters(self) -> dict[str, Meter]:
        """Meters of part and check rows, by name."""
        names = {r.meter for r in self.readings if r.what != "leak"}
        return {meter.name: meter for meter in self.header.meters if meter.name in names}

    def at_stated(self, reading: Reading) -> bool:
        """Whether a row was read within the tolerance of the stated test pressure."""
        set_up = self.header.set_up
        off = reading.test_pressure / set_up.test_pressure - 1.0
        return abs(off) <= set_up.tolerance * (1.0 + 1e-9)

    def meter_air(self, reading: Reading) -> Stream:
        """Air in front of the meter of one row."""
        room, set_up = self.header.room.temperature, self.header.set_up
        sign = 1.0 if set_up.direction == "blown" else -1.0
        chamber = sign * reading.test_pressure if set_up.meter_inlet == "chamber" else 0.0
        R = float(gas_constant(reading.p_room, room, reading.humidity))
        gamma = ratio_of_heats(reading.p_room, room, reading.humidity, reading.T_meter)
        return Stream(reading.p_room + chamber, reading.T_meter, R, gamma)


def plan(session: Session) -> Plan:
    """A session in order of time, fit to be reduced.

    Parameters
    ----------
    session : Session   [SI]
    Returns
    -------
    plan : Plan   [SI]
    Errors      InputError with every row that cannot be reduced, by its line.
    """
    if len(session.readings) > MAX_ROWS:
        message = f"{len(session.readings)} rows, and a session holds up to {MAX_ROWS}"
        raise InputError([Problem(message, "split it into sessions")])
    readings = tuple(sorted(session.readings, key=lambda r: r.order))
    made = Plan(session.header, readings)
    problems = [p for reading in readings for p in _problems(made, reading)]
    times = Counter(r.order for r in readings)
    for reading in readings:
        if times[reading.order] > 1:
            message = f"order {reading.order} stands on several rows"
            problems.append(Problem(message, "number the rows as they were read", "", reading.line))
    if not any(r.what == "part" for r in readings):
        problems.append(Problem("no row reads a part", "add rows whose column `what` says part"))
    if problems:
        raise InputError(problems)
    return made


def _problems(made: Plan, reading: Reading) -> list[Problem]:
    names = [meter.name for meter in made.header.meters]
    try:
        if reading.what not in KINDS:
            raise ValueError(f"what is {reading.what!r}; write part, leak or check")
        if reading.meter not in names:
            raise ValueError(f"meter {reading.meter!r} is not listed; use {', '.join(names)}")
        if not 0.0 < reading.test_pressure < reading.p_room:
            raise ValueError(
                f"the test pressure is {reading.test_pressure:g} Pa; it lies between 0 and the "
                "barometer"
            )
        least = (
            reading.meter_reading >= 0.0 if reading.what == "leak" else reading.meter_reading > 0
        )
        if not least:
            raise ValueError(
                f"the meter shows {reading.meter_reading:g}; a {reading.what} has flow"
            )
        warnings_of(made, reading)
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        return [Problem(message, remedy, "", reading.line)]
    return []


def warnings_of(made: Plan, reading: Reading) -> list[str]:
    """What is doubtful about one row: meter limits and test pressure.

    Parameters
    ----------
    made : Plan   [SI]
    reading : Reading   One of its rows [SI]
    Returns
    -------
    warnings : list of str   [-]
    Errors      ValueError("message; remedy") when its meter cannot give a flow.
    """
    set_up = made.header.set_up
    behind = reading.p_room + reading.test_pressure if set_up.direction == "blown" else None
    air = made.meter_air(reading)
    if reading.what == "leak" and reading.meter_reading == 0.0:
        return []
    found = check(made.header.meter(reading.meter), reading.meter_reading, air, behind)
    off = reading.test_pressure / set_up.test_pressure - 1.0
    if abs(off) > set_up.tolerance and not set_up.several_pressures:
        found.append(
            f"the test pressure is {100.0 * off:+.1f} % off the stated one; set it within "
            f"{100.0 * set_up.tolerance:g} %"
        )
    return found
