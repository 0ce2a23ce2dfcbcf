"""A reduced session of bench readings as one documented record, and as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from typing import Any

from pulse1d import __version__, units
from pulse1d.measure.exponent import Conversion, Exponent
from pulse1d.measure.reduce import Reduced, Reduction
from pulse1d.run.session import PortMean, Sampled, reference_density

SCHEMA = "pulse1d reduce 1"
COVERAGE = 2.0
"""Coverage factor of expanded uncertainties."""
