"""A case file and a readings file brought together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pulse1d.case.design import load
from pulse1d.case.readings import load_reduced
from pulse1d.case.schema import Calibration
from pulse1d.compare.against import Comparison, hold_against
from pulse1d.compare.means import port_means
from pulse1d.errors import InputError, Problem
from pulse1d.measure.reading import Session


def open_pair(
    case: Path,
    readings: Path,
    part: str | None = None,
    *,
    calibrated: bool = True,
    left_out: Sequence[str] | None = None,
) -> Comparison:
    """A case file held against a readings file.

    Parameters
    ----------
    case, readings : Path   [-]
    part : str or None   Key in the readings; None: the part that names this case, or the only one
    calibrated : bool   Whether the case's own calibration is read [-]
    left_out : sequence of str or None   Ports that are passed over [-]
    Returns
    -------
    comparison : Comparison   [SI]
    Errors      InputError for files that cannot be read, a part that is not in the readings or not
                plain from them, ports that the case does not have.
    """
    design = load(case)
    if not calibrated:
        plain = design.case.model_copy(update={"calibration": Calibration()})
        design = replace(design, case=plain)
    reduction = load_reduced(readings)
    session = reduction.session
    name = part_of(session, case, readings, part)
    means = port_means(reduction, name)
    kept = [k for k, port in enumerate(means.ports) if port not in (left_out or ())]
    unknown = [port for port in left_out or () if port not in means.ports]
    if unknown or not kept:
        raise InputError(
            [
                Problem(
                    f"--leave-out: ports {', '.join(unknown)} were not read"
                    if unknown
                    else "--leave-out: no port is left",
                    f"choose some, not all, of {', '.join(means.ports)}",
                    str(readings),
                )
            ]
        )
    return hold_against(design, session.header, means.of(kept))


def part_of(session: Session, case: Path, readings: Path, part: str | None) -> str:
    """The part of a session that a case describes.

    Parameters
    ----------
    session : Session   [-]
    case, readings : Path   [-]
    part : str or None   What the user asked for [-]
    Returns
    -------
    name : str   Key of the part [-]
    Errors      InputError when it is not there, or several could be meant.
    """
    known = session.header.parts
    if part is not None:
        found = [part] if part in known else []
    else:
        beside = readings.parent
        found = [
            name
            for name, note in known.items()
            if note.case is not None and (beside / note.case).resolve() == case.resolve()
        ] or list(known)
    if len(found) != 1:
        raise InputError(
            [
                Problem(
                    f"the readings hold no part {part!r}" if part else
                    f"which part {case.name} describes is not plain from the readings",
                    f"name one with --part: {', '.join(known)}",
                    str(readings),
                )
            ]
        )  # fmt: skip
    return found[0]
