"""The pictures of ``pulse1d cycle``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pulse1d.cli.cycle_told import Details
from pulse1d.run.cycle_sweep import CaseSweep, by_setting


def draw(
    sweeps: Sequence[CaseSweep], told: Details, plot: Path, interference: bool, waves: bool
) -> list[Path]:
    """Draw what was asked for.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    told : Details   With at least one case [SI]
    plot : Path   [-]
    interference, waves : bool   What is asked for [-]
    Returns
    -------
    paths : list of Path   Those drawn [-]
    """
    from pulse1d.plots.cycle_pressure import draw_port_pressure
    from pulse1d.plots.cycle_speeds import draw_speeds

    drawn = [plot, plot.with_stem(f"{plot.stem}-speeds")]
    pairs = [(one.design, summary.answer) for one, summary in told.cases]
    where = sweeps[0].setting.label
    draw_port_pressure(pairs, plot, told.measured, told.cylinder, where)
    groups = by_setting(sweeps)
    drawn_already = [one.provenance.key for one in next(iter(groups.values()))]
    curves = [
        (
            setting.label,
            [
                (one.design.name, () if n and one.provenance.key == key else one.summaries)
                for one, key in zip(own, drawn_already, strict=False)
            ],
        )
        for n, (setting, own) in enumerate(groups.items())
    ]
    draw_speeds(curves, drawn[1], told.measured)
    if interference and told.waves:
        from pulse1d.plots.interference import draw_interference

        drawn.append(plot.with_stem(f"{plot.stem}-interference"))
        matrices = [(one.design.name, found) for one, found in told.waves]
        draw_interference(matrices, 60.0 * told.speed, drawn[-1], where)
    if waves and told.waves:
        from pulse1d.plots.cycle_waves import draw_cycle_waves
        from pulse1d.run.cycle_waves import waves_dataset

        for k, (design, answer) in enumerate(pairs):
            drawn.append(plot.with_stem(f"{plot.stem}-waves{f'-{k + 1}' if k else ''}"))
            draw_cycle_waves(waves_dataset(design, answer, told.cylinder), drawn[-1])
    return drawn
