"""pulse1d: one-dimensional gas dynamics of exhaust runners and collectors."""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"

_PUBLIC = {
    "load": "pulse1d.case.design",
    "Design": "pulse1d.case.design",
    "predict_bench": "pulse1d.run.bench",
    "BenchResult": "pulse1d.run.bench",
    "march_cycle": "pulse1d.run.cycle",
    "pulse": "pulse1d.run.pulse",
    "PulseResult": "pulse1d.run.pulse",
    "screen": "pulse1d.run.life",
    "InputError": "pulse1d.errors",
}

__all__ = [
    "BenchResult",
    "Design",
    "InputError",
    "PulseResult",
    "__version__",
    "load",
    "march_cycle",
    "predict_bench",
    "pulse",
    "screen",
]


def __getattr__(name: str) -> Any:
    """Public names are resolved on first use, so that ``import pulse1d`` stays instant."""
    if name in _PUBLIC:
        from importlib import import_module

        return getattr(import_module(_PUBLIC[name]), name)
    raise AttributeError(f"module 'pulse1d' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
