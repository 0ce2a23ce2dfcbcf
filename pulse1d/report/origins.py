"""Where it all comes from: notes for the makers, inputs, sources, cautions."""

from __future__ import annotations

from pulse1d import __version__
from pulse1d.report.blocks import Block, Fold, Grid, Points, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.run.cautions import BENCH, CYCLE, MAKING
from pulse1d.run.cycle_sweep import OWN_SOURCES
from pulse1d.run.drawing_notes import drawing_notes
from pulse1d.run.origin import case_texts, citations


def notes(evidence: Evidence) -> Section:
    """Suggestions for the drawing of every design.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    blocks: list[Block] = [
        Words(
            "Suggestions for whoever draws, casts or welds the part. The foundry's and the "
            "welder's own rules come first.",
            "caution",
        )
    ]
    for design in evidence.designs:
        rows = tuple((n.topic, n.text, n.reason, n.source) for n in drawing_notes(design))
        if rows:
            heads = ("what", "suggestion", "why", "source")
            blocks.append(Grid(f"{design.name}: notes for the drawing", heads, rows, texts=4))
    return Section("notes", "Notes for the drawing", tuple(blocks))


def inputs(evidence: Evidence) -> Section:
    """Every file that was read, and enough to compute it all again.

    Parameters
    ----------
    evidence : Evidence   [-]
    Returns
    -------
    section : Section   [-]
    """
    rows: list[tuple[str, ...]] = []
    folds: list[Block] = []
    for design in evidence.designs:
        numerics = design.case.numerics
        rows.append(
            (
                design.name,
                str(design.path),
                design.digest[:12],
                f"{numerics.samples} samples, seed {numerics.seed}; cells {1e3 * numerics.cell:g} "
                f"mm, CFL {numerics.cfl:g}, limiter {numerics.limiter}",
            )
        )
        folds += [Fold(f"{design.name}: {name}", text) for name, text in case_texts(design).items()]
    for one in evidence.cycles.sweeps if evidence.cycles is not None else ():
        rows.append((f"{one.provenance.case}, engine", str(one.path), one.provenance.key, "saved"))
    for swept in evidence.studies:
        rows.append((swept.study.name, str(swept.path), swept.study.key[:12], "saved"))
        folds.append(Fold(f"Study: {swept.study.path.name}", swept.study.document.text))
    blocks: tuple[Block, ...] = (
        Words(f"Computed by pulse1d {__version__} from the files below."),
        Grid("What was read", ("what", "file", "hash", "solved with"), tuple(rows), texts=4),
        *folds,
    )
    return Section("inputs", "Inputs and provenance", blocks)


def sources(evidence: Evidence) -> Section:
    """The source of every coefficient in use.

    Parameters
    ----------
    evidence : Evidence   [-]
    Returns
    -------
    section : Section   [-]
    """
    more = OWN_SOURCES if evidence.cycles is not None else ()
    found = {text for design in evidence.designs for text in citations(design, *more)}
    cited = {part for text in found for part in text.split(" | ")}
    blocks = (
        Words("Coefficients, with what each rests on; pulse1d explain tells formula and band."),
        Points(tuple(sorted(cited))),
    )
    return Section("sources", "Sources", blocks)


def cautions(evidence: Evidence) -> Section:
    """What to take care of.

    Parameters
    ----------
    evidence : Evidence   [-]
    Returns
    -------
    section : Section   [-]
    """
    told = [BENCH, *([CYCLE] if evidence.cycles is not None else []), MAKING]
    return Section("cautions", "Cautions", (Points(tuple(told), "caution"),))
