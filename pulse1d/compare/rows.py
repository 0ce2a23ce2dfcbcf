"""Rows of one or several sessions on one footing: what may be compared, and what they share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from pulse1d import units
from pulse1d.case.document import nearest
from pulse1d.errors import InputError, Problem
from pulse1d.measure.reading import Reading, Session
from pulse1d.measure.reduce import Reduced, Reduction
from pulse1d.run.session import at_test_pressure

Array = NDArray[np.float64]

BENCH = 0.02
"""Standard uncertainty of a bench's own level, taken where two benches meet [-]: benches differ by
3 to 10 % (common practice, no source); 2 % each is the low end, a judgement."""
SESSION = 0.005 / sqrt(2.0)
"""Standard uncertainty of a session's own level [-]: two sessions on one bench, each with a check
plate, differ by 0.5 to 1 % (common practice, no source); the low end, for a session without one
carries a cause of its own for that."""


@dataclass(frozen=True)
class Rows:
    """Rows of two parts from all sessions, with the causes they share."""

    base: str
    other: str
    sessions: tuple[Session, ...]
    rows: tuple[Reduced, ...]
    session: tuple[int, ...]
    """Number of the session of each row."""
    ln_flow: Array
    jacobian: Array
    """d ln(flow) for one standard uncertainty of each cause, (rows, causes) [-]."""
    causes: tuple[str, ...]
    families: tuple[str, ...]
    """Line of a budget that each cause is summed into."""
    lasting: NDArray[np.bool_]
    """Whether a cause outlives its row, so that remounts do not average it."""
    cautions: tuple[str, ...]
    """What must stand beside every figure drawn from these rows."""
    notes: tuple[str, ...]

    @property
    def ports(self) -> tuple[str, ...]:
        """Ports both parts were read at, in the order met."""
        met: dict[str, list[str]] = {self.base: [], self.other: []}
        for row in self.rows:
            met[row.reading.part].append(row.reading.port)
        return tuple(p for p in dict.fromkeys(met[self.base]) if p in set(met[self.other]))

    @property
    def benches(self) -> tuple[str, ...]:
        """Names of the benches, in the order met."""
        return tuple(dict.fromkeys(session.header.about.bench for session in self.sessions))


def gather(reductions: Sequence[Reduction], base: str, other: str | None = None) -> Rows:
    """The rows of two parts, ready to be compared.

    Causes keep their correlation: one that two rows share by name is one column, so a meter's
    constant cancels between parts read on the same meter and does not between two meters. Sessions
    on one bench with the same meters and instruments share what is the bench's. On top come causes
    that no single session knows: the level of a session where several on a bench are compared
    (0.35 %), and the level of a bench where two are (2 %).

    Parameters
    ----------
    reductions : sequence of Reduction   Reduced sessions [SI]
    base, other : str   Keys of the parts; gains are relative to the base; the other may be left out
        where two parts were read [-]
    Returns
    -------
    rows : Rows   [-]
    Errors      InputError when a part or a shared port is missing, when one file is given twice, or
                when sessions differ in test pressure, direction, fixed end, other ports or
                reference state.
    Limits      rows within the tolerance of the stated test pressure; others are left out
    Source      JCGM 100:2008 5.2 for shared causes; levels: judgement, common practice
    """
    sessions = tuple(reduction.session for reduction in reductions)
    kept = [
        [i for i in range(len(reduction.rows)) if at_test_pressure(reduction, i)]
        for reduction in reductions
    ]
    met = [r.rows[i].reading for r, some in zip(reductions, kept, strict=True) for i in some]
    read = list(dict.fromkeys(reading.part for reading in met))
    if other is None and base in read and len(read) == 2:
        other = read[1 - read.index(base)]
    problems = [*_parts_known(sessions, met, base, other), *_same_test(sessions)]
    if problems or other is None:
        raise InputError(problems)
    rows: list[Reduced] = []
    session: list[int] = []
    columns: dict[str, tuple[Cause, dict[int, float]]] = {}
    for k, reduction in enumerate(reductions):
        causes, levels = _causes(sessions, k, reduction), _levels(sessions, k)
        for i in kept[k]:
            row, slopes = reduction.rows[i], map(float, reduction.jacobian[i])
            if row.reading.part not in (base, other):
                continue
            for cause, slope in [*zip(causes, slopes, strict=True), *levels]:
                if slope != 0.0:
                    columns.setdefault(cause.name, (cause, {}))[1][len(rows)] = slope
            rows.append(row)
            session.append(k)
    jacobian = np.zeros((len(rows), len(columns)))
    for j, (_, column) in enumerate(columns.values()):
        jacobian[list(column), j] = list(column.values())
    known = [cause for cause, _ in columns.values()]
    flow = np.array([row.flow for row in rows])
    found = Rows(
        base, other, sessions, tuple(rows), tuple(session), np.log(flow), jacobian,
        tuple(columns), tuple(cause.family for cause in known),
        np.array([cause.lasting for cause in known], dtype=bool), tuple(_cautions(sessions)), (),
    )  # fmt: skip
    return replace(found, notes=(*_notes(found), *_session_notes(reductions, found)))


@dataclass(frozen=True)
class Cause:
    """One error under a name that says how far it reaches."""

    name: str
    family: str
    lasting: bool = True


def _causes(sessions: Sequence[Session], k: int, reduction: Reduction) -> list[Cause]:
    """The causes of one session, under names that tell those it does not share apart."""
    twin = next(i for i in range(k + 1) if _same_bench(sessions[i], sessions[k]))
    found = []
    for cause in reduction.inputs:
        owner = label(sessions, twin if cause.scope == "bench" else k)
        family = cause.family or cause.name
        found.append(Cause(f"{cause.name} ({owner})", family, cause.scope != "row"))
    return found


def _same_bench(a: Session, b: Session) -> bool:
    one, two = a.header, b.header
    return (
        one.about.bench == two.about.bench
        and one.meters == two.meters
        and one.instruments == two.instruments
        and one.check_plate == two.check_plate
    )


def _levels(sessions: Sequence[Session], k: int) -> list[tuple[Cause, float]]:
    """Causes beyond one session's own budget."""
    found, bench = [], sessions[k].header.about.bench
    if len({s.header.about.bench for s in sessions}) > 1:
        found.append((Cause(f"level of bench {bench}", "level of bench"), BENCH))
    if sum(s.header.about.bench == bench for s in sessions) > 1:
        name = f"level of {label(sessions, k)}"
        found.append((Cause(name, "level of session"), SESSION))
    return found


def label(sessions: Sequence[Session], k: int) -> str:
    """What a session is called in text: its name, or its number and date.

    Parameters
    ----------
    sessions : sequence of Session   [-]
    k : int   Number of the session from 0 [-]
    Returns
    -------
    name : str   [-]
    """
    names = [session.name for session in sessions]
    if names[k] and names.count(names[k]) == 1:
        return names[k]
    return f"session {k + 1} of {sessions[k].header.about.date}"


def _parts_known(
    sessions: Sequence[Session], rows: Sequence[Reading], base: str, other: str | None
) -> list[Problem]:
    if not sessions:
        return [Problem("there are no readings to compare", "name one file of readings or more")]
    if base == other:
        return [Problem(f"base and other are both {base!r}", "name two different parts")]
    known = sorted({r.part for r in rows})
    listed = sorted({*known, *(key for session in sessions for key in session.header.parts)})
    asked = [part for part in (base, other) if part is not None]
    strange = [_no_part(part, listed) for part in asked if part not in listed]
    if strange:
        return strange
    met = {part: {r.port for r in rows if r.part == part} for part in asked}
    files = ", ".join(label(sessions, k) for k in range(len(sessions)))
    problems = [
        Problem(
            f"part {part!r} was not read at the stated test pressure in {files}",
            f"name one of {', '.join(known)}" if known else "add rows of it",
        )
        for part, ports in met.items()
        if not ports
    ]
    if other is None:
        rest = ", ".join(part for part in known if part != base)
        remedy = f"name one with --other: {rest}" if rest else "add rows of another part"
        message = f"which part is held against the base {base!r} is not plain from the readings"
        problems += [] if problems else [Problem(message, remedy)]
    elif not problems and not met[base] & met[other]:
        problems.append(
            Problem(
                f"{base} was read at port {', '.join(sorted(met[base]))} and {other} at port "
                f"{', '.join(sorted(met[other]))}: there is no port to compare",
                "read both parts at the same port",
            )
        )
    return problems


def _no_part(part: str, known: Sequence[str]) -> Problem:
    near = nearest(part, known)
    remedy = (f"did you mean {near!r}? " if near else "") + f"parts are {', '.join(known)}"
    return Problem(f"no part of the readings is called {part!r}", remedy)


def _same_test(sessions: Sequence[Session]) -> list[Problem]:
    """What makes two sessions different tests, or the same one."""
    problems = []
    for k, session in enumerate(sessions[1:], 1):
        if any(session.readings == earlier.readings for earlier in sessions[:k]):
            message = f"{label(sessions, k)} holds the same readings as a file before it"
            problems.append(Problem(message, "name every file once: a copy is no repeat"))
        one, two = sessions[0].header, session.header
        for name, first, second, why in (
            ("test pressure", one.set_up.test_pressure, two.set_up.test_pressure,
             "flow rises with it, and conversion is not comparison"),
            ("direction", one.set_up.direction, two.set_up.direction,
             "losses of a part blown and sucked differ"),
            ("fixed end", one.set_up.fixed_end, two.set_up.fixed_end,
             "the air enters another end"),
            ("other ports", one.set_up.other_ports, two.set_up.other_ports,
             "ports left open feed or bleed the joint"),
            ("reference state", one.reference, two.reference,
             "the same part then has another number"),
        ):  # fmt: skip
            if first == second:
                continue
            problems.append(
                Problem(
                    f"{label(sessions, 0)} and {label(sessions, k)} differ in {name} "
                    f"({_shown(first)} against {_shown(second)}): {why}",
                    f"read both parts at one {name}, or compare sessions that did",
                )
            )
    return problems


def _shown(value: object) -> str:
    if isinstance(value, float):
        return f"{units.to(value, 'inH2O', 'pressure'):.4g} inH2O"
    pressure = getattr(value, "pressure", None)
    if pressure is not None:
        celsius = getattr(value, "temperature", 0.0) - 273.15
        humidity = 100.0 * getattr(value, "humidity", 0.0)
        return f"{pressure / 1e3:.6g} kPa, {celsius:.4g} degC, {humidity:.3g} % RH"
    return str(value)


def _cautions(sessions: Sequence[Session]) -> list[str]:
    found = []
    benches = list(dict.fromkeys(s.header.about.bench for s in sessions))
    if len(benches) > 1:
        found.append(
            f"readings of {len(benches)} benches ({', '.join(benches)}): benches differ by 3 to "
            f"10 % on one part (common practice), so {100 * BENCH:.0f} % standard uncertainty is "
            "added for each and cancels only where both parts stood on the same one; read both "
            "parts on one bench before claiming anything smaller"
        )
    first = sessions[0].header.set_up
    for name in ("adapter", "outlet_stub", "gasket"):
        if any(getattr(s.header.set_up, name) != getattr(first, name) for s in sessions):
            found.append(
                f"the sessions differ in {name.replace('_', ' ')}: an entry or exit can change "
                "flow by more than two designs do, and no uncertainty here covers that"
            )
    return found


def _session_notes(reductions: Sequence[Reduction], rows: Rows) -> list[str]:
    """What the reduction had to say, rows that warn and rows left out."""
    notes: list[str] = []
    warnings: dict[str, list[str]] = {}
    for k, reduction in enumerate(reductions):
        place = f"{label(rows.sessions, k)}, " if len(reductions) > 1 else ""
        notes += [f"{place}{note}" for note in reduction.notes]
        off = []
        for i, row in enumerate(reduction.rows):
            if row.reading.part not in (rows.base, rows.other):
                continue
            if not at_test_pressure(reduction, i):
                off.append(str(row.reading.order))
                continue
            for warning in row.warnings:
                warnings.setdefault(warning, []).append(f"{place}row {row.reading.order}")
        if off:
            notes.append(f"{place}row {', '.join(off)}: off the stated test pressure, left out")
    return [*notes, *(f"{', '.join(where)}: {text}" for text, where in warnings.items())]


def _notes(rows: Rows) -> list[str]:
    notes = []
    for part in (rows.base, rows.other):
        met = {row.reading.port for row in rows.rows if row.reading.part == part}
        alone = sorted(met - set(rows.ports))
        if alone:
            notes.append(f"port {', '.join(alone)} was read on {part} only and is left out")
        serials = {s.header.parts[part].serial for s in rows.sessions if part in s.header.parts}
        if len(serials) > 1:
            notes.append(
                f"{part} stands for pieces of different serial numbers "
                f"({', '.join(sorted(serials))}): their spread counts as the part's"
            )
    for port in rows.ports:
        used = [
            sorted({r.reading.meter for r in rows.rows if (r.reading.part, r.reading.port) == key})
            for key in ((rows.base, port), (rows.other, port))
        ]
        if used[0] != used[1]:
            notes.append(
                f"port {port}: {rows.base} on {', '.join(used[0])}, {rows.other} on "
                f"{', '.join(used[1])}, so the constants of the meters do not cancel"
            )
    return notes
