"""What may be said of a comparison in public, and the record that stands behind it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulse1d import __version__, units
from pulse1d.compare.parts import Gain, PartComparison
from pulse1d.compare.parts_record import name_of, parts_record
from pulse1d.measure.reduce import Reduction
from pulse1d.measure.spec import Adapter

SCHEMA = "pulse1d test sheet 1"


def claim_text(comparison: PartComparison) -> str:
    """The paragraph to print beside a part: bench, date, test, base, gain, its uncertainty.

    Where the whole part's difference is not shown it says so and gives no gain, of no port either:
    to pick the port that happened to come out well is no finding.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows, whole = comparison.rows, comparison.whole
    base, other = (_named(comparison, part) for part in (rows.base, rows.other))
    where = f"Flow bench, {_days(comparison)}: at {_pressure(comparison)} across the part"
    if whole.verdict == "not shown":
        finding = (
            f"{where}, no difference shown between {other} and {base} at +-{_points(whole)} % "
            "(95 %)."
        )
    else:
        word = "more" if whole.gain > 0.0 else "less"
        finding = (
            f"{where}, {other} passed {100 * abs(whole.gain):.1f} % {word} air (+-"
            f"{_points(whole)} points at 95 %, t-based) than {base}, the base of every percentage "
            "here."
        )
        if len(comparison.ports) > 1:
            finding += " That is the ratio of flows summed over ports; by port: "
            finding += "; ".join(_port(port) for port in comparison.ports) + "."
    return " ".join(
        [
            finding,
            _test(comparison),
            _basis(comparison),
            *(f"Caution: {caution}." for caution in comparison.cautions),
            "Steady flow of air on a bench: no on-engine result is implied.",
        ]
    )


def test_sheet(comparison: PartComparison, reductions: Sequence[Reduction]) -> dict[str, Any]:
    """The record behind a claim.

    ``{"schema", "version", "claim", "sessions": [...], "pairs": [...], "result": {...}}``. Each
    session: ``file``, ``header`` (every field of the file's head, SI, its keys as in the file),
    ``leaks`` (``part``, ``port``, ``kg_s`` at the test pressure), ``checks`` (``order``, ``ratio``
    of what the bench read over what it should), ``notes`` and ``rows``: all readings in order with
    ``order``, ``what``, ``part``, ``port``, ``remount``, ``meter``, ``test_pressure_pa``,
    ``meter_reading`` (Pa, kg/s or m3/s by the kind of meter), ``t_part_k``, ``t_meter_k``,
    ``p_room_pa``, ``humidity``, ``note`` and, for parts, ``flow_m3_s``. ``pairs``: for each
    port its ``order`` (A is the base), ``paired`` and ``mounts`` with ``part``, ``session``,
    ``remount``, ``readings`` and ``flow_m3_s``. ``result`` is the object of ``pulse1d parts
    --json``.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    reductions : sequence of Reduction   Those compared, in the same order [SI]
    Returns
    -------
    record : dict   [SI]
    """
    return {
        "schema": SCHEMA,
        "version": __version__,
        "claim": claim_text(comparison),
        "sessions": [_session(reduction) for reduction in reductions],
        "pairs": [
            {
                "port": port.port,
                "order": port.order,
                "paired": port.paired,
                "mounts": [
                    {
                        "part": part,
                        "session": mount.session + 1,
                        "remount": mount.number,
                        "readings": len(mount.rows),
                        "flow_m3_s": mount.flow,
                    }
                    for mount, part in port.in_order(comparison.rows.base, comparison.rows.other)
                ],
            }
            for port in comparison.samples
        ],
        "result": parts_record(comparison),
    }


def _session(reduction: Reduction) -> dict[str, Any]:
    session = reduction.session
    flows = {row.reading.order: row.flow for row in reduction.rows}
    rows = []
    for r in sorted(session.readings, key=lambda r: r.order):
        row = {
            "order": r.order,
            "what": r.what,
            "part": r.part,
            "port": r.port,
            "remount": r.remount,
            "meter": r.meter,
            "test_pressure_pa": r.test_pressure,
            "meter_reading": r.meter_reading,
            "t_part_k": r.T_part,
            "t_meter_k": r.T_meter,
            "p_room_pa": r.p_room,
            "humidity": r.humidity,
            "note": r.note,
        }
        if r.order in flows:
            row["flow_m3_s"] = flows[r.order]
        rows.append(row)
    return {
        "file": session.name,
        "header": session.header.model_dump(mode="json", by_alias=True),
        "leaks": [
            {"part": part, "port": port, "kg_s": leak}
            for (part, port), leak in reduction.leak.items()
        ],
        "checks": [{"order": order, "ratio": ratio} for order, ratio in reduction.drift],
        "notes": list(reduction.notes),
        "rows": rows,
    }


def _named(comparison: PartComparison, part: str) -> str:
    notes = [s.header.parts[part] for s in comparison.rows.sessions if part in s.header.parts]
    serials = [serial for serial in dict.fromkeys(note.serial for note in notes) if serial]
    name = name_of(comparison, part)
    return f"{name} (serial {', '.join(serials)})" if serials else name


def _days(comparison: PartComparison) -> str:
    abouts = [session.header.about for session in comparison.rows.sessions]
    return "; ".join(dict.fromkeys(f"{about.bench}, {about.date}" for about in abouts))


def _pressure(comparison: PartComparison) -> str:
    pressure = comparison.rows.sessions[0].header.set_up.test_pressure
    return f"{units.to(pressure, 'inH2O', 'pressure'):.4g} inH2O ({pressure / 1e3:.4g} kPa)"


def _points(gain: Gain) -> str:
    return f"{100 * gain.U:.1f}"


def _port(gain: Gain) -> str:
    if gain.verdict == "not shown":
        return f"port {gain.port} no difference shown at +-{_points(gain)} %"
    return f"port {gain.port} {100 * gain.gain:+.1f} % +- {_points(gain)} points"


def _test(comparison: PartComparison) -> str:
    """How the parts stood on the bench."""
    set_up = comparison.rows.sessions[0].header.set_up
    forward = (set_up.fixed_end == "port") == (set_up.direction == "blown")
    names = [port.port for port in comparison.ports]
    ports = f"port {names[0]}" if len(names) == 1 else f"ports {', '.join(names)} one at a time"
    adapters = {describe(s.header.set_up.adapter): None for s in comparison.rows.sessions}
    return (
        f"Parts were {set_up.direction} at the {set_up.fixed_end}, flow "
        f"{'port to outlet' if forward else 'outlet to port'}, {ports}, the others "
        f"{set_up.other_ports}; adapter: {'; '.join(adapters)}; outlet stub: {set_up.outlet_stub}."
    )


def describe(adapter: Adapter) -> str:
    """An adapter in words.

    Parameters
    ----------
    adapter : Adapter   [SI]
    Returns
    -------
    text : str   Such as "port, edge radius 6 mm" [mm]
    """
    if adapter.edge_radius is None:
        return f"{adapter.shape}, edge radius not stated"
    if adapter.edge_radius == 0.0:
        return f"{adapter.shape}, square edge"
    return f"{adapter.shape}, edge radius {1e3 * adapter.edge_radius:.4g} mm"


def _basis(comparison: PartComparison) -> str:
    """What the numbers rest on."""
    ports = len(comparison.ports)
    on = f"{ports} port{'s' if ports > 1 else ''}"
    low, high = min(comparison.whole.remounts), max(comparison.whole.remounts)
    if comparison.whole.paired:
        what = f"{low} remounted pair{'s' if low > 1 else ''} x {on}"
        order = f"in the order {comparison.whole.order} (A the base)"
        return f"Basis: {what}, {order}.{_once(comparison)}"
    counts = f"{low}" if low == high else f"{low} to {high}"
    many = "remount" if high == 1 else "remounts"
    return f"Basis: {counts} {many} of each part x {on}, not in pairs.{_once(comparison)}"


def _once(comparison: PartComparison) -> str:
    """What a claim must say where no part was mounted twice."""
    taken = [port.s for port in comparison.ports if port.origin == "assumed"]
    if not taken:
        return ""
    each = "pair" if comparison.whole.paired else "remount"
    return (
        f" No part was mounted twice: a scatter of {100 * max(taken):.2f} % a {each} is assumed, "
        "not measured."
    )
