"""Will it live: ranking, temperatures of a start, places and bolts."""

from __future__ import annotations

from functools import partial

from pulse1d.durability.transient import peak_difference
from pulse1d.plots.life_bands import life_bands_figure
from pulse1d.plots.life_heat import life_heat_figure
from pulse1d.report.blocks import Block, Grid, Picture, Points, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.report.words import KELVIN
from pulse1d.run.cautions import LIFE
from pulse1d.run.life import LifeResult
from pulse1d.run.life_record import peaks
from pulse1d.run.life_words import band_text, first_to_crack

MOST = 6
"""Places of a design that are listed."""


def life(evidence: Evidence) -> Section | None:
    """The screening of every design that states what it needs.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None where no case has a block of durability [-]
    """
    results = evidence.life
    if not results:
        return None
    names = ", ".join(result.design.name for result in results)
    blocks: list[Block] = [
        Points(LIFE, "caution"),
        _ranking(results),
        Picture(
            "Full starts to a crack, place by place",
            f"Bands of life on a logarithmic scale for the worst places of {names}; the first "
            "stand in the tables below.",
            partial(life_bands_figure, results),
        ),
        Picture(
            "A start from cold: temperatures of wall, weld zone and flange",
            f"Temperature against time for the hottest runner of {names}.",
            partial(life_heat_figure, results),
        ),
    ]
    if evidence.cycles is not None:
        blocks.append(
            Words(
                "Walls here are those of one start, in the gas named above each table; the "
                "engine's table gives means of all pipes over a cycle at its speed.",
                "note",
            )
        )
    for result in results:
        blocks += [_places(result), _heat(result)]
        if result.bolts:
            blocks.append(_bolts(result))
    return Section("life", "Will it live?", tuple(blocks))


def _ranking(results: tuple[LifeResult, ...]) -> Grid:
    return Grid(
        "Ranking, the first to crack on top; full starts to a crack, low to high",
        ("design", "worst place", "strain %", "starts"),
        tuple(
            (
                r.design.name,
                r.places[0].place.name,
                f"{100 * r.places[0].strain_range:.2f}",
                band_text(r.places[0]),
            )
            for r in first_to_crack(results)
        ),
        texts=2,
    )


def _places(result: LifeResult) -> Grid:
    return Grid(
        f"{result.design.name}: places, the first to crack on top",
        ("place", "strain %", "starts", "why"),
        tuple(
            (a.place.name, f"{100 * a.strain_range:.2f}", band_text(a), a.reason)
            for a in result.places[:MOST]
        ),
        words=True,
    )


def _heat(result: LifeResult) -> Grid:
    rows = []
    for wall, flange in peaks(result):
        difference, when = peak_difference(result.heat, wall, flange)
        hot = [
            f"{float(result.heat.at(n).max()) - KELVIN:.0f}"
            for n in (wall, f"{wall} weld zone", flange)
        ]
        rows.append((wall, *hot, f"{difference:.0f}", f"{when:.0f}"))
    return Grid(
        f"{result.design.name}: hottest metal of a start. Gas: {result.gas_origin}",
        ("runner", "wall °C", "weld zone °C", "flange °C", "wall less flange K", "at s"),
        tuple(rows),
    )


def _bolts(result: LifeResult) -> Grid:
    rows = []
    for b in result.bolts:
        s = b.state
        forces = (s.preload, s.preload_after_embedding, s.hot, b.least, s.cold_again)
        rows.append((b.port, *(f"{1e-3 * f:.1f}" for f in forces), "; ".join(s.notes) or "holds"))
    return Grid(
        f"{result.design.name}: force of one bolt, kN",
        ("port", "preload", "settled", "hot", "least", "cold again", ""),
        tuple(rows),
        words=True,
    )
