"""Comparison of two parts: identities, tests of significance, what is refused.

Outside checks: scipy.stats for Welch's and the paired t test; Holm's rule by hand on an example;
percent identities by arithmetic (100 to 118 CFM: +18.0 %, -15.3 %, loss at equal flow -28 %).
Tolerances: 1e-9 where the same formula is evaluated twice in double precision, printed digits else.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf, log, sqrt
from typing import Any

import numpy as np
import pytest
from scipy import stats

from pulse1d.compare.claim import claim_text, test_sheet
from pulse1d.compare.parts import Gain, PartComparison, compare_parts, holm, satterthwaite
from pulse1d.compare.parts_record import parts_record
from pulse1d.compare.remounts import samples, scatter
from pulse1d.compare.rows import BENCH, Rows, gather
from pulse1d.errors import InputError
from pulse1d.measure.reduce import Reduction, reduce
from tests.invented_readings import QUIET, World, session

PLAIN = World()
EQUAL = {(part, port): 200.0 for part in ("a", "b") for port in "1234"}
BETTER = {(part, port): 200.0 if part == "a" else 210.0 for part in ("a", "b") for port in "1234"}
test_sheet.__test__ = False  # type: ignore[attr-defined]  # pytest takes its name for a test's


def compared(truth: Any, world: World = PLAIN, seed: int = 1) -> PartComparison:
    return compare_parts([reduce(session(truth, seed, world))], "a", "b")


def rows_of(flows: dict[str, dict[str, list[float]]], order: str = "") -> Rows:
    """Rows with given ln-flows and no uncertainty of their own, in the order of letters."""
    made = reduce(session({(p, q): 200.0 for p in "ab" for q in flows}, 1, World(remounts=2)))
    template, readings, place = made.rows[0], [], 0
    for port, parts in flows.items():
        left = {"A": list(parts["a"]), "B": list(parts["b"])}
        counts = {"A": 0, "B": 0}
        for letter in order or "".join(k * len(left[k]) for k in "AB"):
            place, counts[letter] = place + 1, counts[letter] + 1
            reading = replace(
                template.reading, part=letter.lower(), port=port, remount=counts[letter],
                order=place,
            )  # fmt: skip
            readings.append(replace(template, reading=reading, flow=exp(left[letter].pop(0))))
    bare = replace(made, rows=tuple(readings), inputs=(), jacobian=np.zeros((len(readings), 0)))
    return gather([bare], "a", "b")


def test_percent_has_a_base() -> None:
    """100 to 118: +18.0 %, mirror -15.3 %, loss at equal flow 28 % less, by arithmetic."""
    gain = compared({("a", "1"): 100.0, ("b", "1"): 118.0}, QUIET).ports[0]
    assert f"{100 * gain.gain:+.1f}" == "+18.0"
    assert f"{100 * gain.mirror:+.1f}" == "-15.3"
    assert f"{100 * gain.less_loss:.0f}" == "28"


def test_either_part_may_be_the_base() -> None:
    made = [reduce(session(BETTER, 5))]
    there, back = compare_parts(made, "a", "b"), compare_parts(made, "b", "a")
    for one, two in zip((*there.ports, there.whole), (*back.ports, back.whole), strict=True):
        assert one.ln_ratio == pytest.approx(-two.ln_ratio, abs=1e-12)
        assert one.u == pytest.approx(two.u, rel=1e-9)
        assert one.gain == pytest.approx(two.mirror, abs=1e-12)
        assert {one.verdict, two.verdict} in ({"better", "worse"}, {"not shown"})


def test_the_whole_is_a_ratio_of_sums() -> None:
    """(150 + 225) / (100 + 225) = 1.1538, and the average of +50 % and 0 % is +25 %."""
    truth = {("a", "1"): 100.0, ("a", "2"): 225.0, ("b", "1"): 150.0, ("b", "2"): 225.0}
    found = compared(truth, QUIET)
    assert found.whole.gain == pytest.approx(375.0 / 325.0 - 1.0, abs=1e-6)  # inversion, 1e-6
    assert found.mean_gain == pytest.approx(0.25, abs=1e-6)
    spread, varies = found.evenness("a")
    assert spread == pytest.approx(125.0 / 162.5, abs=1e-5)
    assert varies == pytest.approx(np.std([100.0, 225.0], ddof=1) / 162.5, abs=1e-5)


def test_holm_by_hand() -> None:
    """0.005, 0.01, 0.03, 0.04 times 4, 3, 2, 1, never falling: 0.02, 0.03, 0.06, 0.06."""
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx([0.03, 0.06, 0.06, 0.02], abs=1e-12)
    assert holm([0.6, 0.5]) == [1.0, 1.0]


def test_paired_is_the_paired_t_test() -> None:
    a, b = [5.30, 5.31, 5.29, 5.32], [5.312, 5.318, 5.305, 5.331]
    rows = rows_of({"1": {"a": a, "b": b}}, "ABBAABBA")
    port = samples(rows)[0]
    assert port.paired
    assert port.order == "ABBAABBA"
    found = scatter([port])[0]["1"]
    reference = stats.ttest_rel(b, a)
    assert port.ratio / found.u == pytest.approx(reference.statistic, rel=1e-9)
    assert found.free == reference.df == 3


def test_unpaired_is_welchs_test() -> None:
    """Scatter of the two groups too unlike to be pooled: Bartlett's p is below 0.01."""
    a, b = [5.300, 5.301, 5.299, 5.3005, 5.2995], [5.31, 5.36, 5.27, 5.33]
    assert stats.bartlett(a, b).pvalue < 0.01
    port = samples(rows_of({"1": {"a": a, "b": b}}))[0]
    assert not port.paired
    found = scatter([port])[0]["1"]
    reference = stats.ttest_ind(b, a, equal_var=False)
    assert found.origin == "own"
    assert port.ratio / found.u == pytest.approx(reference.statistic, rel=1e-9)
    assert found.free == pytest.approx(reference.df, rel=1e-9)


def test_alike_groups_are_students_test() -> None:
    a, b = [5.300, 5.304, 5.299], [5.31, 5.316, 5.312]
    port = samples(rows_of({"1": {"a": a, "b": b}}))[0]
    found = scatter([port])[0]["1"]
    reference = stats.ttest_ind(b, a)
    assert found.origin == "pooled"
    assert port.ratio / found.u == pytest.approx(reference.statistic, rel=1e-9)
    assert found.free == reference.df


def test_scatter_is_pooled_only_where_ports_scatter_alike() -> None:
    still = {"a": [5.3, 5.3, 5.3, 5.3], "b": [5.3101, 5.3100, 5.3102, 5.3099]}
    wild = {"a": [5.3, 5.3, 5.3, 5.3], "b": [5.31, 5.35, 5.27, 5.33]}
    apart, notes = scatter(samples(rows_of({"1": still, "2": wild}, "ABBAABBA")))
    assert {found.origin for found in apart.values()} == {"own"}
    assert any("not pooled" in note for note in notes)
    alike, notes = scatter(samples(rows_of({"1": wild, "2": wild}, "ABBAABBA")))
    assert {(found.origin, found.free) for found in alike.values()} == {("pooled", 6.0)}
    assert any("pooled over 2 groups" in note for note in notes)


def test_one_remount_takes_the_others_scatter() -> None:
    flows = {
        "1": {"a": [5.3, 5.31, 5.3], "b": [5.31, 5.33, 5.315]},
        "2": {"a": [5.3], "b": [5.32]},
    }
    rows = rows_of({"1": flows["1"]}, "ABBAAB"), rows_of({"2": flows["2"]}, "AB")
    ports = (*samples(rows[0]), *samples(rows[1]))
    found, notes = scatter(ports)
    s = float(np.std(ports[0].differences, ddof=1))
    assert found["2"].u == pytest.approx(s, rel=1e-9)
    assert found["2"].free == 2
    assert any("port 2: only one remount" in note for note in notes)


def test_nothing_remounted_is_assumed_and_said() -> None:
    """0.4 % for each part, sqrt 2 of it for the pair (common practice)."""
    found = compared(EQUAL, World(remounts=1))
    assert found.ports[0].u_random == pytest.approx(0.004 * sqrt(2.0), rel=1e-9)
    assert found.ports[0].origin == "assumed"
    assert any("0.4 % each is assumed" in note for note in found.notes)


def test_readings_without_remounting_are_one_sample() -> None:
    """Five readings each on one mount: the scatter of remounts stays the assumed one."""
    found = compared(EQUAL, World(remounts=1, readings=5))
    assert found.ports[0].remounts == (1, 1)
    assert found.ports[0].readings == 10
    assert found.ports[0].u_random == pytest.approx(0.004 * sqrt(2.0), rel=1e-9)
    assert any("count as one sample" in note for note in found.notes)


def test_degrees_of_freedom_by_the_guide() -> None:
    """JCGM 100:2008 H.1.6: u 25, 9.7, 2.9, 16.6 nm with 18, 25.6, 50, 2 degrees give 16."""
    parts = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)]
    assert int(satterthwaite(parts)) == 16
    assert satterthwaite([(1.0, inf)]) == inf


def test_the_meters_constant_cancels_on_one_meter_only() -> None:
    same = compared(EQUAL).ports[0]
    apart = compared(EQUAL, World(meters={"a": "range 3"})).ports[0]
    assert dict(same.causes).get("meter constant", 0.0) < 1e-4  # leak and flow differ a little
    assert dict(apart.causes)["meter constant"] == pytest.approx(0.005 * sqrt(2.0), rel=0.02)


def test_the_whole_is_surer_than_a_port() -> None:
    found = compared(BETTER)
    assert found.whole.u_random == pytest.approx(found.ports[0].u_random / 2.0, rel=0.01)
    assert found.whole.free_random == found.ports[0].free_random  # one pooled scatter, not four


def test_one_mount_for_all_ports_correlates_them() -> None:
    """On its outlet one mount carries all ports: scatter that all share does not average out."""
    swing = [0.0, 0.01, -0.006, 0.004]
    a = [5.3] * 4
    flows = {port: {"a": a, "b": [5.32 + x for x in swing]} for port in "12"}
    made = rows_of(flows, "ABBAABBA")
    outlet = made.sessions[0].header
    outlet = outlet.model_copy(
        update={"set_up": outlet.set_up.model_copy(update={"fixed_end": "outlet"})}
    )
    held = replace(made.sessions[0], header=outlet)
    reductions = [
        Reduction(where, made.rows, (), np.zeros((len(made.rows), 0)), {}, (), ())
        for where in (made.sessions[0], held)
    ]
    alone, together = (compare_parts([reduction], "a", "b").whole for reduction in reductions)
    assert together.u_random == pytest.approx(np.std(swing, ddof=1) / 2.0, rel=1e-6)
    assert together.u_random == pytest.approx(alone.u_random * sqrt(2.0), rel=1e-6)


def test_a_difference_is_shown_or_not() -> None:
    assert {gain.verdict for gain in compared(BETTER).ports} == {"better"}
    none = compared(EQUAL)
    assert none.whole.verdict == "not shown"
    assert "no difference shown between" in claim_text(none)
    assert "more air" not in claim_text(none)
    assert "less air" not in claim_text(none)


def test_a_verdict_needs_the_interval_to_leave_zero() -> None:
    """Claim only if |gain| > U; Holm's rule asks for more, never less."""
    for seed in range(12):
        for gain in compared(BETTER if seed % 2 else EQUAL, seed=seed).ports:
            low, high = gain.band
            assert gain.p_holm >= gain.p
            if gain.verdict != "not shown":
                assert low > 0.0 or high < 0.0


def test_claim_names_what_it_rests_on() -> None:
    text = claim_text(compared(BETTER))
    for part in (
        "invented bench", "2026-03-02", "28 inH2O", "blown at the port", "one at a time",
        "edge radius 6 mm", "the base", "3 remounted pairs x 4 ports",
        "no on-engine result is implied",
    ):  # fmt: skip
        assert part in text


def test_test_sheet_holds_every_raw_row() -> None:
    reduction = reduce(session(BETTER, 1))
    sheet = test_sheet(compare_parts([reduction], "a", "b"), [reduction])
    assert len(sheet["sessions"][0]["rows"]) == len(reduction.session.readings)
    assert sheet["sessions"][0]["header"]["set-up"]["test pressure"] == pytest.approx(28 * 249.09)
    assert [mount["part"] for mount in sheet["pairs"][0]["mounts"]] == list("abbaab")
    assert sheet["result"]["whole"]["remounts"] == [3, 3]


def test_record_is_plain_data() -> None:
    from json import dumps, loads

    record = parts_record(compared(BETTER))
    assert loads(dumps(record, allow_nan=False)) == record
    assert record["whole"]["gain_low"] < record["whole"]["gain"] < record["whole"]["gain_high"]


def split(other: World, first: World = PLAIN) -> list[Reduction]:
    """One part in one session, the other part in another."""
    truths = [{key: f for key, f in BETTER.items() if key[0] == part} for part in "ab"]
    return [
        reduce(session(truth, k, world, f"day {k}"))
        for k, (truth, world) in enumerate(zip(truths, (first, other), strict=True), 1)
    ]


def test_two_benches_widen_the_interval_and_say_so() -> None:
    one = compare_parts(split(World()), "a", "b")
    two = compare_parts(split(World(bench="south bench")), "a", "b")
    assert not one.cautions
    assert "2 benches" in two.cautions[0]
    assert dict(two.whole.causes)["level of bench"] == pytest.approx(BENCH * sqrt(2.0))
    assert two.whole.U > 0.04
    assert dict(one.whole.causes)["level of session"] == pytest.approx(0.005)
    assert "meter constant" not in dict(one.whole.causes)  # the same bench and range
    assert dict(two.whole.causes)["check plate"] == pytest.approx(0.005 * sqrt(2.0), rel=0.01)
    assert not two.ports[0].paired


@pytest.mark.parametrize(
    ("world", "words"),
    [
        (World(test_pressure=25.0), "test pressure (28 inH2O against 25 inH2O)"),
        (World(direction="sucked"), "direction (blown against sucked)"),
        (World(fixed_end="outlet"), "fixed end (port against outlet)"),
        (World(other_ports="open"), "other ports (blanked against open)"),
    ],
)
def test_different_tests_are_refused(world: World, words: str) -> None:
    with pytest.raises(InputError) as caught:
        compare_parts(split(world), "a", "b")
    assert words in str(caught.value)
    assert "remedy: read both parts at one" in str(caught.value)


@pytest.mark.parametrize(
    ("base", "other", "words"),
    [("a", "c", "no part of the readings is called 'c'"), ("a", "a", "base and other are both")],
)
def test_parts_must_be_there(base: str, other: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        compare_parts([reduce(session(EQUAL, 1))], base, other)


def test_parts_need_a_port_in_common() -> None:
    with pytest.raises(InputError, match="no port to compare"):
        compared({("a", "1"): 200.0, ("b", "2"): 200.0}, World(remounts=1, order="blocks"))


def test_more_pairs_are_named_for_what_is_not_shown() -> None:
    gain: Gain = compared(EQUAL, World(remounts=2)).ports[0]
    wanted = replace(gain, ln_ratio=log(1.02), s=0.007, floor=0.0)
    assert wanted.needed(0.8) == 4  # 2 % at 0.7 % a pair: as 1 % at 0.35 %, worked table
    assert replace(wanted, floor=0.02).needed(0.8) is None


def test_rows_off_the_test_pressure_are_left_out() -> None:
    made = session(EQUAL, 1, QUIET)
    first = next(r for r in made.readings if r.what == "part")
    off = replace(first, test_pressure=1.05 * first.test_pressure)
    rows = tuple(off if r is first else r for r in made.readings)
    found = compare_parts([reduce(replace(made, readings=rows))], "a", "b")
    assert found.ports[0].remounts == (2, 3)
    assert any(f"row {off.order}: off the stated" in note for note in found.notes)
    assert found.ports[0].gain == pytest.approx(0.0, abs=1e-6)  # inversion of the model, 1e-6


def test_a_copy_is_no_repeat() -> None:
    with pytest.raises(InputError, match="a copy is no repeat"):
        compare_parts([reduce(session(EQUAL, 1, PLAIN, name)) for name in "xy"], "a", "b")
