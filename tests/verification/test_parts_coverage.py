"""The stated 95 % intervals hold the truth about 95 times in 100, on invented benches.

Every seed is another bench: its meters' constants, check plate, gauges, leaks, the seats of both
parts and the scatter of remounts are drawn anew (tests/invented_readings.py), and the interval is
held against the true ratio. With 200 seeds a true coverage of 95 % gives a share with a standard
deviation of sqrt(0.95 x 0.05 / 200) = 1.5 %; 91 to 98.5 % is -2.6 to +2.3 of these, which a fair
interval misses about once in 60 sets of seeds (these are fixed). An interval a quarter too narrow
(85.8 %) or three tenths too wide (98.9 %) falls outside. Binomial: any textbook of statistics.
"""

from __future__ import annotations

from math import log

import pytest

from pulse1d.compare.parts import compare_parts
from pulse1d.measure.reduce import reduce
from tests.invented_readings import World, session

SEEDS = range(200)
TRUTH = {
    ("log", "1"): 175.0,
    ("log", "2"): 186.0,
    ("tubular", "1"): 192.0,
    ("tubular", "2"): 190.0,
}
WORLDS = {
    "three pairs": World(),
    "unpaired": World(order="blocks"),
    "mounted once": World(remounts=1),
    "two meters": World(remounts=2, meters={"log": "range 3"}),
}


@pytest.mark.parametrize("name", WORLDS)
def test_intervals_cover_the_truth(name: str) -> None:
    whole, port = 0, 0
    paired = name != "unpaired"
    for seed in SEEDS:
        found = compare_parts([reduce(session(TRUTH, seed, WORLDS[name]))], "log", "tubular")
        assert found.ports[0].paired is paired
        whole += abs(found.whole.ln_ratio - log(382.0 / 361.0)) < found.whole.reach
        port += abs(found.ports[0].ln_ratio - log(192.0 / 175.0)) < found.ports[0].reach
    assert 0.91 <= whole / len(SEEDS) <= 0.985
    assert 0.91 <= port / len(SEEDS) <= 0.985
