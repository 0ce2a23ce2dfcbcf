"""Damaged files, a few hundred of them; ``benchmarks/fuzz.py`` tries them by the hour.

Whatever is done to a file, its loader answers with a result or with an error that a user can act
on, within the watchdog's time; and what it lets through can be checked and flowed.
"""

from __future__ import annotations

import time
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.hardening.corpus import Seed, damage, lay_out, tree_of
from tests.hardening.mutate_tree import Tree, emit
from tests.hardening.tried import Verdict, tried, warm

KINDS = ("case", "readings", "study", "measured", "results", "journal")
EXAMPLES = {"case": 40, "readings": 40, "study": 30, "results": 60}
"""The others take a millisecond each; those, 10 to 100."""
OFTEN = ("case", "measured", "journal")
"""Kinds of which a mutant in five or so is let through; of the seal of results, none is."""
LONG_S = 60.0
"""Of the long fuzz, a kind [s]."""


class Corpus:
    """Seeds in a folder of their own, and a way to try a mutant."""

    def __init__(self, folder: Path) -> None:
        self.seeds = lay_out(folder)
        self.said: dict[Path, Tree | None] = {}
        self.raws = {one.victim: one.victim.read_bytes() for one in self.seeds}
        warm(folder / "pump" / "tubular.yaml")

    def of(self, kind: str) -> list[Seed]:
        """The seeds of a kind, each as often as it counts."""
        return [one for one in self.seeds for _ in range(one.weight) if one.kind == kind]

    def tree(self, path: Path) -> Tree | None:
        """What a sound file says."""
        if path not in self.said:
            self.said[path] = tree_of(path)
        return self.said[path]

    def mutant(self, random: Random, one: Seed, other: Seed) -> bytes:
        """One seed's victim, damaged with parts of another's."""
        tree, lent = self.tree(one.victim), self.tree(other.victim)
        table = one.victim.suffix == ".csv"
        return damage(random, self.raws[one.victim], self.raws[other.victim], tree, lent, table)

    def tried(self, one: Seed, mutant: bytes, kind: str = "") -> Verdict:
        """What a mutant in the place of its seed's victim leads to, as its kind or another."""
        one.victim.unlink()  # a new file: readers know open ones by their place on disk
        one.victim.write_bytes(mutant)
        try:
            return tried(kind or one.kind, one.main)
        finally:
            for beside in one.victim.parent.glob(f"{one.victim.name}-*"):
                beside.unlink()
            one.victim.write_bytes(self.raws[one.victim])


@pytest.fixture(scope="module")
def corpus(tmp_path_factory: pytest.TempPathFactory) -> Corpus:
    return Corpus(tmp_path_factory.mktemp("corpus").resolve())


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_file_is_read_or_refused(corpus: Corpus, kind: str) -> None:
    seeds = corpus.of(kind)
    outcomes = set()

    @given(st.randoms(use_true_random=False), st.sampled_from(seeds), st.sampled_from(seeds))
    @settings(
        max_examples=EXAMPLES.get(kind, 200), deadline=None, derandomize=True, database=None,
        phases=[Phase.generate], suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    def each(random: Random, one: Seed, other: Seed) -> None:
        verdict = corpus.tried(one, corpus.mutant(random, one, other))
        outcomes.add(verdict.outcome)
        assert verdict.outcome != "FOUND", f"{one.victim.name}: {verdict.sign}\n{verdict.told}"

    each()
    assert "refused" in outcomes  # the damage is not too small,
    assert kind not in OFTEN or "sound" in outcomes  # nor too large


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_for_a_minute(corpus: Corpus, kind: str) -> None:
    random, seeds = Random(), corpus.of(kind)
    ends, found = time.monotonic() + LONG_S, []
    while time.monotonic() < ends:
        one, other = random.choice(seeds), random.choice(seeds)
        mutant = corpus.mutant(random, one, other)
        verdict = corpus.tried(one, mutant, "more" if kind == "case" else kind)
        if verdict.outcome == "FOUND":
            found.append((verdict.sign, one.victim.name, mutant, verdict.told))
    assert not found, found[:3]


def test_an_undamaged_file_is_sound_also_written_anew(corpus: Corpus) -> None:
    """Or the fuzz would try nothing but its own writing."""
    sound = [one for one in corpus.seeds if one.weight > 1]
    assert {one.kind for one in sound} == set(KINDS)
    for kind in KINDS:
        one = next(one for one in sound if one.kind == kind)
        tree = corpus.tree(one.victim)
        anew = corpus.raws[one.victim] if tree is None else emit(tree).encode()
        assert corpus.tried(one, anew).outcome == "sound", one
