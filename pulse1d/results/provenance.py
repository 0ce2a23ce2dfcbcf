"""Where a result comes from: enough to run it again, and to see that it is the same."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pulse1d import __version__


@dataclass(frozen=True)
class Provenance:
    """What stands behind a dataset."""

    verb: str
    """The command that makes it, such as "pulse"."""
    case: str
    """Name of the design."""
    texts: Mapping[str, str]
    """Every file that the case was read from, by its place relative to the case."""
    design: str
    """Hash of what the case says the thing is."""
    numerics: Mapping[str, Any]
    """How it was solved, and the options that changed the case."""
    mesh: Mapping[str, Any] = field(default_factory=dict)
    """What the solver made of it: cells, pipes, what was refined."""
    sources: Sequence[str] = ()
    """Citations of the coefficients used."""
    version: str = __version__

    @property
    def key(self) -> str:
        """Short hash of the case and of how it was solved: equal keys, equal runs [-]."""
        return result_key(self.design, self.numerics)

    def attributes(self) -> dict[str, str]:
        """As attributes of a dataset: text, and JSON where there is more than one thing."""
        texts = json.dumps(dict(self.texts), ensure_ascii=False)
        return {
            "pulse1d_version": self.version,
            "verb": self.verb,
            "case": self.case,
            "case_text": texts,
            "case_sha256": hashlib.sha256(texts.encode()).hexdigest(),
            "design_sha256": self.design,
            "numerics": json.dumps(dict(self.numerics), sort_keys=True),
            "mesh": json.dumps(dict(self.mesh), sort_keys=True),
            "sources": json.dumps(list(self.sources), ensure_ascii=False),
            "key": self.key,
        }


def result_key(design: str, numerics: Mapping[str, Any]) -> str:
    """Name under which a result is stored.

    Parameters
    ----------
    design : str   Hash of what the case says the thing is [-]
    numerics : mapping   How it is solved, plain numbers and text [-]
    Returns
    -------
    key : str   12 hexadecimal digits [-]
    """
    text = json.dumps([design, dict(numerics)], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:12]
