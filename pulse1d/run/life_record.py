"""The object that ``pulse1d life --json`` prints."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pulse1d import __version__
from pulse1d.durability.materials import citations
from pulse1d.durability.rank import Assessed
from pulse1d.durability.transient import peak_difference
from pulse1d.run.life import LifeResult
from pulse1d.run.life_bolts import PortBolts


def life_record(results: Sequence[LifeResult], cautions: Sequence[str]) -> dict[str, Any]:
    """The object that ``pulse1d life --json`` prints.

    ``{"schema", "version", "cautions": [...], "designs": [...]}``. Each design: ``case``, ``file``,
    ``design`` (digest), ``gas`` (``from``; ``legs``: ``T_k``, ``h_w_m2_k`` of each), ``metals`` by
    part, ``notes``, ``hottest_k`` by node, ``peak_differences`` (``between`` two nodes,
    ``difference_k``, ``at_s``), ``energy_gap`` (of the heat balance, relative), ``places``, worst
    first, ``bolts_a_port``, ``bolts``, ``bolts_on_longer_sleeves``, ``end_stud`` (null, or
    ``span_m``, ``slip_m``, ``clearance_m``, ``to_follow_m``, ``bending_strain``), ``sensitivity``
    (``size``, ``from``, ``to``, ``life_factor``), ``sources``. Each place: ``place``,
    ``hottest_k``, ``mismatch``, ``restraint``, ``from_legs``, ``strain_range``, ``weld``,
    ``life_low``, ``life_middle``, ``life_high`` in starts, ``life_by_method``, ``refused``
    (null, or why no life is told), ``reason``, ``notes``; strains and restraint are ratios. Each
    bolt: ``port``, ``hottest_k``, ``compliance_m_n``, ``preload_n``, ``settled_n``, ``hot_n``,
    ``cold_again_n``, ``least_n``, ``notes``. Null: no limit.

    Parameters
    ----------
    results : sequence of LifeResult   [SI]
    cautions : sequence of str   [-]
    Returns
    -------
    record : dict   [SI]
    """
    return {
        "schema": "pulse1d life 1",
        "version": __version__,
        "cautions": list(cautions),
        "designs": [_design(result) for result in results],
    }


def _design(result: LifeResult) -> dict[str, Any]:
    used = {
        key.strip()
        for metal in result.metals.named.values()
        for cells in metal.sources.values()
        for cell in cells
        for key in cell.split(",")
    }
    known = citations()
    return {
        "case": result.design.name,
        "file": str(result.design.path),
        "design": result.design.digest,
        "gas": {
            "from": result.gas_origin,
            "legs": {name: {"T_k": g.T, "h_w_m2_k": g.h} for name, g in result.gas.items()},
        },
        "metals": {part: metal.name for part, metal in result.metals.named.items()},
        "notes": list(result.notes),
        "hottest_k": {name: float(result.heat.at(name).max()) for name in result.heat.names},
        "peak_differences": [
            {"between": [a, b], "difference_k": found[0], "at_s": found[1]}
            for a, b in peaks(result)
            for found in (peak_difference(result.heat, a, b),)
        ],
        "energy_gap": result.heat.energy_gap,
        "places": [_place(assessed) for assessed in result.places],
        "bolts_a_port": result.asked.fasteners.count_a_port if result.asked.fasteners else 0,
        "bolts": [_bolts(bolts) for bolts in result.bolts],
        "bolts_on_longer_sleeves": [_bolts(bolts) for bolts in result.longer],
        "end_stud": None if result.slip is None else {
            "span_m": result.slip.span, "slip_m": result.slip.slip,
            "clearance_m": result.slip.clearance, "to_follow_m": result.slip.rest,
            "bending_strain": result.slip.strain,
        },
        "sensitivity": [
            {"size": s.name, "from": s.base, "to": s.changed, "life_factor": _told(s.factor)}
            for s in result.sensitivity
        ],
        "sources": {key: known[key] for key in sorted(used) if key in known},
    }  # fmt: skip


def peaks(result: LifeResult) -> list[tuple[str, str]]:
    """Pairs of nodes whose greatest difference is told: every runner and its flange.

    Parameters
    ----------
    result : LifeResult   [SI]
    Returns
    -------
    pairs : list of (str, str)   Names of nodes [-]
    """
    names = result.heat.names
    return [(n.removesuffix(" flange"), n) for n in names if n.endswith(" flange")]


def _place(assessed: Assessed) -> dict[str, Any]:
    place, band = assessed.place, assessed.band
    return {
        "place": place.name,
        "hottest_k": place.T_hottest,
        "mismatch": assessed.mismatch,
        "restraint": place.eta,
        "from_legs": place.extra,
        "strain_range": assessed.strain_range,
        "weld": place.weld,
        "life_low": _told(band.low),
        "life_middle": _told(band.mid),
        "life_high": _told(band.high),
        "life_by_method": {name: _told(life) for name, life in band.methods.items()},
        "refused": band.refused or None,
        "reason": assessed.reason,
        "notes": list(band.notes),
    }


def _told(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _bolts(bolts: PortBolts) -> dict[str, Any]:
    state = bolts.state
    return {
        "port": bolts.port.removeprefix("port "),
        "hottest_k": bolts.T_bolt,
        "compliance_m_n": state.compliance,
        "preload_n": state.preload,
        "settled_n": state.preload_after_embedding,
        "hot_n": state.hot,
        "cold_again_n": state.cold_again,
        "least_n": bolts.least,
        "notes": list(state.notes),
    }
