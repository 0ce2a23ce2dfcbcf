"""What ``pulse1d doctor`` found, as text for a terminal of 80 columns and as one object."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from pulse1d import __version__
from pulse1d.cli.text import Column, paragraph, table
from pulse1d.run.doctor import EXTRAS, Cache, Examination

SCHEMA = "pulse1d doctor 1"
CHECKS = (
    Column("check", 11, left=True),
    Column("found", 10),
    Column("exact", 10),
    Column("error", 9),
    Column("allowed", 9),
    Column("", 6, left=True),
)


def report(found: Examination) -> str:
    """Everything ``pulse1d doctor`` prints.

    Parameters
    ----------
    found : Examination   [SI]
    Returns
    -------
    text : str   [-]
    """
    own = [f"{name} {text}" for name, text in found.packages.items() if name not in EXTRAS]
    extra = [f"{name} {text}" for name, text in found.packages.items() if name in EXTRAS]
    head = [
        f"pulse1d {__version__}, Python {found.python}, {found.cores} cores",
        paragraph(found.platform),
        paragraph(", ".join(own)),
        paragraph(f"extras: {', '.join(extra)}"),
    ]
    rows = [
        (
            check.name,
            f"{check.found:.6g}",
            f"{check.exact:.6g}",
            f"{100.0 * check.error:+.4f} %",
            f"{100.0 * check.tolerance:.2g} %",
            "holds" if check.passed else "FAILS",
        )
        for check in found.checks
    ]
    told = [paragraph(f"{one.name}: {one.what} [{one.unit}]; {one.source}") for one in found.checks]
    verdict = "Sound." if found.sound else "NOT SOUND: reinstall, and report this text."
    parts = ["\n".join(head), cache_text(found.cache), "\n".join([table(CHECKS, rows), *told])]
    return "\n\n".join([*parts, verdict])


def cache_text(cache: Cache) -> str:
    """Where compiled code lies and whether it is ready.

    Parameters
    ----------
    cache : Cache   [-]
    Returns
    -------
    text : str   [-]
    """
    state = "warm" if cache.compiled == 0 else f"cold: {cache.compiled} functions compiled now"
    lines = [
        f"Compiled code: {cache.functions} functions in {cache.folder}, {state}; first answer "
        f"after {cache.first_call:.1f} s."
    ]
    if not cache.writable:
        lines.append(
            "Not writable, so every start compiles anew: set NUMBA_CACHE_DIR to a folder of yours."
        )
    return "\n".join(paragraph(line, 0) for line in lines)


def record(found: Examination) -> dict[str, Any]:
    """The object that ``pulse1d doctor --json`` prints.

    ``{"schema", "version", "sound", "python", "platform", "cores", "packages", "cache": {"folder",
    "writable", "functions", "compiled", "first_call_s"}, "checks": [{"name", "what", "found",
    "exact", "unit", "error", "tolerance", "passed", "source"}]}``; errors and tolerances are
    relative.

    Parameters
    ----------
    found : Examination   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    cache = asdict(found.cache)
    cache["folder"] = str(found.cache.folder)
    cache["first_call_s"] = cache.pop("first_call")
    return {
        "schema": SCHEMA,
        "version": __version__,
        "sound": found.sound,
        "python": found.python,
        "platform": found.platform,
        "cores": found.cores,
        "packages": found.packages,
        "cache": cache,
        "checks": [
            {**asdict(one), "error": one.error, "passed": one.passed} for one in found.checks
        ],
    }
