"""Where it all comes from: notes for the makers, inputs, sources, cautions."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

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
    screened = {result.design.name: result for result in evidence.life}
    for design in evidence.designs:
        found = drawing_notes(design, screened.get(design.name))
        rows = tuple((n.topic, n.text, n.reason, n.source) for n in found)
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
    files: dict[Path, str] = {}
    folds: list[Block] = []
    solved = []
    for design in evidence.designs:
        files |= dict.fromkeys(design.document.sources, design.name)
        numerics = design.case.numerics
        solved.append(
            (
                design.name,
                design.digest[:12],
                f"{numerics.samples} samples, seed {numerics.seed}; cells {1e3 * numerics.cell:g} "
                f"mm, CFL {numerics.cfl:g}, limiter {numerics.limiter}",
            )
        )
        folds += [Fold(f"{design.name}: {name}", text) for name, text in case_texts(design).items()]
    for one in evidence.readings:
        files |= dict.fromkeys(one.files, "readings")
    for sweep in evidence.cycles.sweeps if evidence.cycles is not None else ():
        files[sweep.path] = f"{sweep.provenance.case}, engine"
    for swept in evidence.studies:
        files[swept.study.path] = swept.study.name
        if swept.path is not None:
            files[swept.path] = swept.study.name
        folds.append(Fold(f"Study: {swept.study.path.name}", swept.study.document.text))
    blocks = (
        Words(f"Computed by pulse1d {__version__} from the files below."),
        Grid(
            "What was read; SHA-256 of each file, its first sixteen digits",
            ("file", "of", "SHA-256"),
            tuple((str(path), of, _sha256(path)) for path, of in files.items()),
            texts=3,
        ),
        Grid(
            "How it was solved; the key is a hash of what gas and engine see of a design",
            ("design", "key", "solved with"),
            tuple(solved),
            texts=3,
        ),
        *folds,
    )
    return Section("inputs", "Inputs and provenance", blocks)


def _sha256(path: Path) -> str:
    try:
        return sha256(path.read_bytes()).hexdigest()[:16]
    except OSError:
        return "no longer there"


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
        Words("What the coefficients in use rest on."),
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
