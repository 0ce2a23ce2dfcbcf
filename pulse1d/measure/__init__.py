"""Bench readings to flow: meters, the reduction of a session, its uncertainty, test pressures."""

from pulse1d.measure.reading import Reading, Session
from pulse1d.measure.spec import Header, Meter

__all__ = ["Header", "Meter", "Reading", "Session"]
