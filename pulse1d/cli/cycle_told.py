"""What ``pulse1d cycle`` tells of one speed: waves, bands, lengths and measurements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pulse1d.case.measured_csv import Measured
from pulse1d.cli.progress import Watch
from pulse1d.compare.overlay import Overlay, lay_pressure, lay_torque
from pulse1d.engine.tuning import TunedLength
from pulse1d.run.attribution import Interference
from pulse1d.run.cycle_band import CycleBand, cycle_band
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.cycle_tuning import tuning as tuned
from pulse1d.run.interference_store import kept_interference
from pulse1d.run.watched import Stopped
from pulse1d.run.watched import Watch as Told
from pulse1d.waves.solve import WaveError


@dataclass(frozen=True)
class Details:
    """What is told of one speed."""

    speed: float
    """[rev/s]"""
    outcome: str
    cases: tuple[tuple[CaseSweep, SpeedSummary], ...]
    """Those that reached it."""
    waves: tuple[tuple[CaseSweep, Interference], ...]
    lengths: tuple[tuple[CaseSweep, tuple[TunedLength, ...]], ...]
    bands: tuple[tuple[CaseSweep, CycleBand], ...]
    overlays: tuple[tuple[CaseSweep, Overlay | None], ...]
    measured: Measured | None
    cylinder: str
    reason: str
    """Why waves or bands could not be told; else empty."""


def details(
    sweeps: Sequence[CaseSweep],
    speed: float,
    named: bool,
    cylinder: str | None,
    measured: Measured | None,
    stopped: bool,
    *,
    waves: bool,
    tuning: bool,
    bands: bool,
    fresh: bool = False,
) -> Details:
    """Everything told of one speed, in the first setting.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    speed : float   [rev/s]
    named : bool   Whether the user chose it; else a stopped run takes another [-]
    cylinder : str or None   That the user named [-]
    measured : Measured or None   To lay over [SI]
    stopped : bool   Whether the run was stopped; nothing more is marched then [-]
    waves, tuning, bands : bool   What is asked for [-]
    fresh : bool   Tell waves apart again where that is saved [-]
    Returns
    -------
    details : Details   [SI]
    """
    first = [one for one in sweeps if one.setting == sweeps[0].setting]
    reached = [answer.speed for answer in first[0].answers]
    if stopped and not named and reached and speed not in reached:
        speed = reached[len(reached) // 2]
    cases = tuple(
        (one, summary)
        for one in first
        for summary in one.summaries
        if summary.answer.speed == speed
    )
    name = cylinder or (cases[0][1].answer.cylinders[0].cylinder if cases else "")
    found: list[tuple[CaseSweep, Interference]] = []
    widths: list[tuple[CaseSweep, CycleBand]] = []
    reason = ""
    try:
        if waves and not stopped:
            with Watch("telling the waves apart", float(len(cases))) as watch:
                for one, _ in cases:
                    told = shifted_by(watch, len(found))
                    found.append((one, kept_interference(one, speed, fresh=fresh, watch=told)))
        if bands and not stopped:
            with Watch("moving the doubtful inputs", float(len(cases))) as watch:
                for one, summary in cases:
                    told = shifted_by(watch, len(widths))
                    widths.append((one, cycle_band(one.design, summary.answer, watch=told)))
    except (Stopped, KeyboardInterrupt):
        stopped = True
    except WaveError as error:
        reason = str(error)
    complete = not reason and all(one.complete for one in sweeps)
    return Details(
        speed,
        "interrupted" if stopped else "done" if complete else "not converged",
        cases,
        tuple(found),
        tuple((one, tuned(one.design, summary)) for one, summary in cases) if tuning else (),
        tuple(widths),
        laid_over(first, cases, name, measured),
        measured,
        name,
        reason,
    )


def shifted_by(watch: Told, done: int) -> Told:
    """A watch of one case as a part of the watch of several.

    Parameters
    ----------
    watch : function   Told how many cases are done; answers whether to go on [-]
    done : int   Cases before this one [-]
    Returns
    -------
    watch : function   Told the share of this one [-]
    """
    return lambda share: watch(done + share)


def laid_over(
    sweeps: Sequence[CaseSweep],
    cases: Sequence[tuple[CaseSweep, SpeedSummary]],
    cylinder: str,
    measured: Measured | None,
) -> tuple[tuple[CaseSweep, Overlay | None], ...]:
    """The measurement against each case.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   Of one setting [SI]
    cases : sequence of (sweep, summary)   At the speed of the details [SI]
    cylinder : str   Where pressure was measured [-]
    measured : Measured or None   [SI]
    Returns
    -------
    overlays : tuple of (sweep, Overlay or None)   [SI]
    """
    if measured is None:
        return ()
    if measured.kind == "torque":
        return tuple(
            (one, lay_torque(one.summaries, measured.x, measured.y))
            for one in sweeps
            if one.answers
        )
    return tuple(
        (one, lay_pressure(own, measured.x, measured.y))
        for one, summary in cases
        for own in summary.answer.cylinders
        if own.cylinder == cylinder
    )
