"""From a session's readings to flows at the stated test pressure, with their uncertainty.

The meter's mass flow, less the leak read on a blank, over the drift read on the check plate, is the
part's. Its effective area CdA is that of isentropic flow from the total state in front of the part
to the pressure behind it, and the stated flow is what this area passes at exactly the stated test
pressure with reference air.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pulse1d.errors import InputError, Problem
from pulse1d.measure import causes
from pulse1d.measure.air import Array, density
from pulse1d.measure.model import Flows, Model
from pulse1d.measure.outliers import outlier_notes
from pulse1d.measure.plan import Plan, plan, warnings_of
from pulse1d.measure.propagate import Input, contributions, sample, sensitivities
from pulse1d.measure.reading import Reading, Session

__all__ = ["Input", "Reduced", "Reduction", "budget", "monte_carlo", "reduce"]

LEAK_LARGE = 0.01
"""Of the reading: a larger leak fails a session (common practice, no source) [-]."""


@dataclass(frozen=True)
class Reduced:
    """One reading of a part, reduced; leak and drift are corrected."""

    reading: Reading
    mdot: float
    """Mass flow through the part [kg/s]."""
    q_actual: float
    """Volume flow at the state in front of the part [m^3/s]."""
    q_standard: float
    """Mass flow over the reference density [m^3/s]."""
    cda: float
    """Effective area of isentropic flow [m^2]."""
    flow: float
    """Volume flow at the reference state that the part passes at exactly the stated test pressure
    with reference air, its effective area kept [m^3/s]."""
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Reduction:
    """A reduced session."""

    session: Session
    rows: tuple[Reduced, ...]
    """Readings of parts only, in order."""
    inputs: tuple[Input, ...]
    """Equal names are the same error, also between sessions; what belongs to one session or row
    carries the session's name."""
    jacobian: Array
    """(rows, inputs): d ln(flow) by each input in units of its u; jacobian @ jacobian.T is the
    covariance of ln flow [-]."""
    leak: dict[tuple[str, str], float]
    """(part, port) to the leak at the stated test pressure, where it was read [kg/s]."""
    drift: tuple[tuple[int, float], ...]
    """(order, ratio) of every check row: what the bench reads over what it should."""
    notes: tuple[str, ...]


def reduce(session: Session) -> Reduction:
    """A session's readings reduced, with the sensitivity of every flow to every error.

    Parameters
    ----------
    session : Session   [SI]
    Returns
    -------
    reduction : Reduction   [SI]
    Errors      InputError with every row that cannot be reduced, by its line.
    Limits      those of the meters; steady flow of air
    Source      JCGM 100:2008; the meters' standards as in ``pulse1d.measure.meters``
    """
    made, model, inputs = _build(session)
    flows = model.nominal()
    _refuse_leaks(made, flows)
    rho = density(session.header.reference)
    rows = []
    for k, i in enumerate(made.parts):
        reading, mdot = made.readings[i], float(flows.mdot[0, k])
        warnings = [*warnings_of(made, reading), *_leak_warning(flows, k)]
        rows.append(
            Reduced(
                reading,
                mdot,
                float(flows.q_actual[0, k]),
                mdot / rho,
                float(flows.cda[0, k]),
                float(flows.flow[0, k]),
                tuple(warnings),
            )
        )
    orders = [made.readings[i].order for i in made.checks]
    return Reduction(
        session,
        tuple(rows),
        tuple(_named(item, session.name) for item in inputs),
        sensitivities(model, len(inputs)),
        _leaks(made, flows),
        tuple(zip(orders, (float(ratio) for ratio in flows.ratio[0]), strict=True)),
        (*outlier_notes([row for row in rows if made.at_stated(row.reading)]), *_notes(made)),
    )


def budget(reduction: Reduction, weights: Array) -> tuple[list[tuple[str, float]], float]:
    """What each family of errors adds to the uncertainty of a weighted sum of ln flow.

    Weights 1 and -1 give a ratio of two rows; errors that both share drop out.

    Parameters
    ----------
    reduction : Reduction   [SI]
    weights : (rows,) array   [-]
    Returns
    -------
    lines : list of (name, u)   Errors of one row each are summed by family; largest first [-]
    total : float   Standard uncertainty of the sum: relative, of a ratio [-]
    Source      JCGM 100:2008, 5.1.2
    """
    return contributions(reduction.inputs, reduction.jacobian, weights)


def monte_carlo(session: Session, samples: int = 10_000, seed: int = 1) -> Array:
    """Random flows of every row, all errors drawn together and sent through the whole model.

    Parameters
    ----------
    session : Session   [SI]
    samples : int   [-]
    seed : int   [-]
    Returns
    -------
    ln_flow : (samples, rows) array   Of flow in m^3/s [-]
    Errors      as ``reduce``
    Source      JCGM 101:2008
    """
    _, model, inputs = _build(session)
    return sample(model, inputs, samples, seed)


def _build(session: Session) -> tuple[Plan, Model, list[Input]]:
    made = plan(session)
    header, limits = session.header, session.header.instruments
    parts = list(dict.fromkeys(made.readings[i].part for i in made.parts))
    bare = {made.readings[i].part for i in made.parts if made.leak_of[i] < 0}
    used = [
        (meter, [(r.meter_reading, made.meter_air(r)) for r in _on(made, name)])
        for name, meter in made.meters.items()
    ]
    inputs = causes.instrument_inputs(header) + causes.meter_inputs(used)
    inputs += causes.drift_inputs(header, len(made.checks))
    inputs += causes.part_inputs(parts, [part for part in parts if part in bare])
    for i in sorted({int(i) for i in made.leak_of if i >= 0}):
        leak = made.readings[i]
        air = made.meter_air(leak)
        inputs.append(causes.leak_input(leak, header.meter(leak.meter), air, limits))
    for reading in made.readings:
        if reading.what != "leak":
            inputs += causes.row_inputs(reading, header.meter(reading.meter), limits)
    return made, Model(made, inputs), inputs


def _on(made: Plan, meter: str) -> list[Reading]:
    return [r for r in made.readings if r.meter == meter and r.what != "leak"]


def _named(item: Input, session: str) -> Input:
    """The input under a name that no other session's errors share by chance."""
    own = item.name if item.scope == "bench" or not session else f"{item.name}, {session}"
    return replace(item, name=own, family=item.family or item.name)


def _share(flows: Flows, k: int) -> float:
    """Leak of a row over what its meter reads [-]."""
    net = float(flows.mdot[0, k])
    leak = float(flows.leak[0, k])
    return leak / (net + leak)


def _leak_warning(flows: Flows, k: int) -> list[str]:
    share = _share(flows, k)
    if share <= LEAK_LARGE:
        return []
    return [f"the leak is {100.0 * share:.1f} % of the reading; seal it and read again"]


def _refuse_leaks(made: Plan, flows: Flows) -> None:
    message, remedy = "the leak is over half of the reading", "seal the leak, or look for a mix-up"
    problems = [
        Problem(message, remedy, "", made.readings[i].line)
        for k, i in enumerate(made.parts)
        if _share(flows, k) > 0.5
    ]
    if problems:
        raise InputError(problems)


def _leaks(made: Plan, flows: Flows) -> dict[tuple[str, str], float]:
    """Mean over its rows of each port's leak, at the stated test pressure [kg/s]."""
    found: dict[tuple[str, str], list[float]] = {}
    for k, i in enumerate(made.parts):
        reading = made.readings[i]
        scale = (made.header.set_up.test_pressure / reading.test_pressure) ** 0.5
        if made.leak_of[i] >= 0:
            key = (reading.part, reading.port)
            found.setdefault(key, []).append(float(flows.leak[0, k]) * scale)
    return {key: float(np.mean(values)) for key, values in found.items()}


def _notes(made: Plan) -> tuple[str, ...]:
    plate, notes = made.header.check_plate, []
    drift = 100.0 * causes.U_DRIFT
    if len(made.checks) == 0:
        notes.append(
            f"no check plate was read: a drift of {drift:g} % is in the uncertainty (judgement)"
        )
    elif plate is None or plate.flow is None:
        notes.append("the check plate has no certified flow: drift is taken from its first reading")
    if len(made.checks) == 1:
        notes.append("the check plate was read once: drift within the session is not known")
    bare = dict.fromkeys(made.readings[i].part for i in made.parts if made.leak_of[i] < 0)
    for part in bare:
        notes.append(f"no leak was read for {part}: +-1 % is in its uncertainty (judgement)")
    if len(made.meters) > 1:
        names = ", ".join(made.meters)
        notes.append(f"several meters were used ({names}): a step between them is not known")
    return tuple(notes)
