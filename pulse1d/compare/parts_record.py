"""A comparison of two parts as one documented record of plain numbers and text."""

from __future__ import annotations

import math
from typing import Any

from pulse1d import __version__
from pulse1d.compare.parts import CHANCES, Gain, PartComparison

SCHEMA = "pulse1d parts 1"


def parts_record(comparison: PartComparison) -> dict[str, Any]:
    """The object that ``pulse1d parts --json`` prints.

    ``{"schema", "version", "base", "other", "names", "sessions": [{"file",
    "bench", "date"}], "test_pressure_pa", "reference": {"p_pa", "t_k", "rh"},
    "ports": [...], "whole": {...}, "mean_of_gains", "evenness": {part:
    {"spread", "variation"}}, "cautions": [...], "notes": [...]}``. Each port and the whole part:
    ``port``, ``base_m3_s``, ``other_m3_s`` (at the reference state, at exactly the test pressure;
    the whole part's are sums over ports), ``gain`` (of the other, relative to the base),
    ``gain_low`` and ``gain_high`` (95 %), ``gain_u95`` (half their distance), ``base_gain`` (of the
    base, relative to the other), ``less_loss`` (pressure loss at equal flow, 1 - 1/(1 + gain)^2),
    ``ln_ratio``, ``u`` of it, ``u_random``, ``u_systematic``, ``u_floor`` (what no remount lowers),
    ``freedom``, ``causes`` of u_systematic, ``remounts`` of base and other, ``readings``,
    ``paired``, ``order`` (A is the base), ``scatter`` (standard deviation of one pair's difference,
    or of one remount), ``scatter_from`` (own, pooled, assumed; ports together for the whole part),
    ``p``, ``p_holm``, ``verdict`` and ``needed``: remounts in all by power, null where none do.
    Ratios, not percent; freedom is null when infinite.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    rows = comparison.rows
    header = rows.sessions[0].header
    return {
        "schema": SCHEMA,
        "version": __version__,
        "base": rows.base,
        "other": rows.other,
        "names": {part: name_of(comparison, part) for part in (rows.base, rows.other)},
        "sessions": [
            {
                "file": session.name,
                "bench": session.header.about.bench,
                "date": str(session.header.about.date),
            }
            for session in rows.sessions
        ],
        "test_pressure_pa": header.set_up.test_pressure,
        "reference": {
            "p_pa": header.reference.pressure,
            "t_k": header.reference.temperature,
            "rh": header.reference.humidity,
        },
        "ports": [_gain(port) for port in comparison.ports],
        "whole": _gain(comparison.whole),
        "mean_of_gains": comparison.mean_gain,
        "evenness": {
            part: dict(zip(("spread", "variation"), comparison.evenness(part), strict=True))
            for part in (rows.base, rows.other)
        },
        "cautions": list(comparison.cautions),
        "notes": list(comparison.notes),
    }


def _gain(gain: Gain) -> dict[str, Any]:
    low, high = gain.band
    return {
        "port": gain.port,
        "base_m3_s": gain.base_flow,
        "other_m3_s": gain.other_flow,
        "gain": gain.gain,
        "gain_low": low,
        "gain_high": high,
        "gain_u95": gain.U,
        "base_gain": gain.mirror,
        "less_loss": gain.less_loss,
        "ln_ratio": gain.ln_ratio,
        "u": gain.u,
        "u_random": gain.u_random,
        "u_systematic": gain.u_systematic,
        "u_floor": gain.floor,
        "freedom": gain.free if math.isfinite(gain.free) else None,
        "causes": [{"cause": name, "u": u} for name, u in gain.causes],
        "remounts": list(gain.remounts),
        "readings": gain.readings,
        "paired": gain.paired,
        "order": gain.order,
        "scatter": gain.s,
        "scatter_from": gain.origin,
        "p": gain.p,
        "p_holm": gain.p_holm,
        "verdict": gain.verdict,
        "needed": {f"{chance:g}": gain.needed(chance) for chance in CHANCES},
    }


def name_of(comparison: PartComparison, part: str) -> str:
    """What a part is called in the files, its key where no file says.

    Parameters
    ----------
    comparison : PartComparison   [-]
    part : str   Its key [-]
    Returns
    -------
    name : str   [-]
    """
    for session in comparison.rows.sessions:
        if part in session.header.parts:
            return session.header.parts[part].name
    return part
