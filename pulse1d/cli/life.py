"""``pulse1d life``: what cracks or loosens first, and why. A screening, never a certificate."""

from __future__ import annotations

import typer

from pulse1d.cli.flags import Cases, Export, Json, Plot, Quiet


def life(
    cases: Cases,
    json: Json = False,
    quiet: Quiet = False,
    export: Export = None,
    plot: Plot = None,
) -> None:
    """Screen durability: heat, strain, cracks, bolts. No certificate."""
    from pulse1d.case.design import load
    from pulse1d.cli import exporting, life_text
    from pulse1d.cli.progress import Progress, Watch
    from pulse1d.cli.telling import print_json, told
    from pulse1d.plots.style import drawing_path

    exporting.export_path(export, "life")
    if plot is not None:
        plot = drawing_path(plot)
    designs = [load(path) for path in cases]

    from pulse1d.run.life import screen
    from pulse1d.run.life_metals import all_needed

    all_needed(designs)
    results = []
    with Watch("screening", float(len(designs))) as watch:
        for design in designs:
            results.append(screen(design))
            if not watch(float(len(results))):
                break
    if watch.stopped:
        typer.echo(f"interrupted; {len(results)} of {len(designs)} designs are screened", err=True)
    if json:
        from pulse1d.run.cautions import LIFE
        from pulse1d.run.life_record import life_record

        print_json(life_record(results, LIFE))
    else:
        typer.echo(life_text.report(results))
    if export is not None:
        from pulse1d.run.life_tables import life_tables

        exporting.export(life_tables(results), export, "life", cases)
    if plot is not None:
        from pulse1d.plots.life_bands import draw_bands
        from pulse1d.plots.life_heat import draw_heat
        from pulse1d.plots.life_strain import draw_strain

        heat, strain = (plot.with_stem(f"{plot.stem}-{end}") for end in ("heat", "strain"))
        with Progress("drawing"):
            draw_bands(results, plot)
            draw_heat(results, heat)
            draw_strain(results, strain)
        told("drawn", [plot, heat, strain])
    if watch.stopped:
        raise typer.Exit(130)
