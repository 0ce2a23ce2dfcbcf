"""Published sources behind every coefficient: a key, a citation, and whether it was seen."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files


@dataclass(frozen=True)
class Source:
    """A citation; ``seen`` says how the value reached this package."""

    key: str
    citation: str
    seen: str


@lru_cache(maxsize=1)
def catalogue() -> dict[str, Source]:
    """All sources by key.

    Returns
    -------
    sources : dict   Key to Source [-]
    Source      pulse1d/sources.toml
    """
    text = files("pulse1d").joinpath("sources.toml").read_text(encoding="utf-8")
    return {
        key: Source(key, row["citation"], row["seen"]) for key, row in tomllib.loads(text).items()
    }


def cite(keys: str) -> str:
    """The citation text for comma-separated source keys; "exact" passes through.

    Parameters
    ----------
    keys : str   Such as "rennels2012, idelchik1986" [-]
    Returns
    -------
    text : str   Citations joined by " | " [-]
    Errors      KeyError for a key that the catalogue lacks.
    Source      pulse1d/sources.toml
    """
    known = catalogue()
    parts = [key.strip() for key in keys.split(",") if key.strip()]
    return " | ".join(known[part].citation if part in known else _own(part) for part in parts)


OWN = {
    "exact": "conservation laws, no coefficient",
    "case": "stated in the case file",
    "judgement": "judgement, no published source",
}


def _own(part: str) -> str:
    return OWN[part]
