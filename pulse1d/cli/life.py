"""``pulse1d life``: what cracks or loosens first, and why. A screening, never a certificate."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def life(
    cases: Annotated[list[Path], typer.Argument(help="Case files with `durability`, one or more.")],
    json: Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")] = False,
    plot: Annotated[
        Path | None,
        typer.Option(
            help="Draw life bands to this .png, .svg or .pdf, and FILE-heat and FILE-strain."
        ),
    ] = None,
) -> None:
    """Screen durability: heat, strain, bands of starts to a crack, bolt forces. No certificate."""
    from pulse1d.case.design import load
    from pulse1d.cli import life_text
    from pulse1d.cli.progress import Watch
    from pulse1d.plots.style import drawing_path

    if plot is not None:
        plot = drawing_path(plot)
    designs = [load(path) for path in cases]

    from pulse1d.run.life import screen
    from pulse1d.run.life_metals import needed

    for design in designs:
        needed(design)
    results = []
    with Watch("screening", float(len(designs))) as watch:
        for design in designs:
            results.append(screen(design))
            if not watch(float(len(results))):
                break
    if watch.stopped:
        typer.echo(f"interrupted; {len(results)} of {len(designs)} designs are screened", err=True)
    if json:
        from json import dumps

        from pulse1d.run.life_record import life_record

        typer.echo(dumps(life_record(results, life_text.CAUTIONS), indent=1, allow_nan=False))
    else:
        typer.echo(life_text.report(results))
    if plot is not None:
        from pulse1d.plots.life_bands import draw_bands
        from pulse1d.plots.life_heat import draw_heat
        from pulse1d.plots.life_strain import draw_strain

        heat, strain = (plot.with_stem(f"{plot.stem}-{end}") for end in ("heat", "strain"))
        draw_bands(results, plot)
        draw_heat(results, heat)
        draw_strain(results, strain)
        typer.echo(f"drawn: {plot}, {heat}, {strain}", err=True)
    if watch.stopped:
        raise typer.Exit(130)
