"""Verification: the closed forms of one-dimensional gas flow against published tables.

Sources. Isentropic flow: NACA Report 1135, from memory, agreeing with the closed form evaluated
here. Fanno and Rayleigh lines: Shapiro 1953 ch. 6-7, from memory, and the six-digit values of an
independent calculation. Sudden expansion: the momentum balance with the upstream pressure on the
step (Benedict, Carlucci & Swetz 1966 measured air to follow it), four digits. Where a table gives
n digits the tolerance is half a unit of its last one; integrals of the differential laws are held
to the accuracy asked of the quadrature.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from pulse1d.gas import relations

AIR = 1.4
HALF_DIGIT = 0.6
"""Half a unit of the last printed digit, and a little for the rounding of the argument."""

ISENTROPIC = [  # M, p/p0, T/T0, A/A*
    (0.1, 0.993031, 0.998004, 5.821829),
    (0.2, 0.972497, 0.992063, 2.963520),
    (0.3, 0.939470, 0.982318, 2.035065),
    (0.4, 0.895614, 0.968992, 1.590140),
    (0.5, 0.843019, 0.952381, 1.339844),
    (0.6, 0.784004, 0.932836, 1.188200),
    (0.7, 0.720928, 0.910747, 1.094373),
    (0.8, 0.656022, 0.886525, 1.038230),
    (0.9, 0.591260, 0.860585, 1.008863),
    (1.0, 0.528282, 0.833333, 1.000000),
    (1.5, 0.272403, 0.689655, 1.176167),
    (2.0, 0.127805, 0.555556, 1.687500),
    (3.0, 0.027224, 0.357143, 4.234568),
]

CRITICAL = [  # gamma, p*/p0, choked mdot sqrt(R T0)/(A p0)
    (1.40, 0.528282, 0.684731),
    (1.33, 0.540364, 0.672628),
    (1.30, 0.545728, 0.667262),
]

FANNO = [  # M, f L*/D at gamma 1.4, 1.33, 1.30
    (0.1, 66.921560, 70.534569, 72.202351),
    (0.2, 14.533266, 15.353583, 15.732415),
    (0.3, 5.299253, 5.613986, 5.759445),
    (0.4, 2.308493, 2.453087, 2.519987),
    (0.5, 1.069060, 1.139696, 1.172424),
    (0.6, 0.490822, 0.525000, 0.540864),
    (0.7, 0.208139, 0.223389, 0.230482),
    (0.8, 0.072290, 0.077852, 0.080445),
    (0.9, 0.014512, 0.015682, 0.016229),
]

FANNO_PRESSURE = [  # M, p/p*, T/T*, p0/p0*, gamma 1.4
    (0.1, 10.943513, 1.197605, 5.821829),
    (0.3, 3.619057, 1.178782, 2.035065),
    (0.5, 2.138090, 1.142857, 1.339844),
    (0.7, 1.493452, 1.092896, 1.094373),
    (0.9, 1.129133, 1.032702, 1.008863),
]

RAYLEIGH = [  # M, T0/T0*, T/T*, p/p*, p0/p0*, gamma 1.4
    (0.1, 0.046777, 0.056020, 2.366864, 1.259146),
    (0.2, 0.173554, 0.206612, 2.272727, 1.234596),
    (0.3, 0.346860, 0.408873, 2.131439, 1.198549),
    (0.4, 0.529027, 0.615148, 1.960784, 1.156577),
    (0.5, 0.691358, 0.790123, 1.777778, 1.114053),
    (0.6, 0.818923, 0.916704, 1.595745, 1.075253),
    (0.8, 0.963948, 1.025477, 1.265823, 1.019343),
]

EXPANSION = [  # A1/A2, K = (p01 - p02)/(p01 - p1) at M1 = .1, .3, .5, .7, .9
    (0.25, (0.5635, 0.5717, 0.5876, 0.6101, 0.6380)),
    (0.50, (0.2512, 0.2610, 0.2807, 0.3103, 0.3493)),
    (0.75, (0.0631, 0.0678, 0.0783, 0.0965, 0.1255)),
]


def digits(count: int) -> float:
    return HALF_DIGIT * 10.0**-count


@pytest.mark.parametrize(("M", "p", "T", "A"), ISENTROPIC)
def test_isentropic_flow(M: float, p: float, T: float, A: float) -> None:
    assert 1.0 / relations.stagnation_ratio(M, AIR) == pytest.approx(p, abs=digits(6))
    assert relations.stagnation_ratio(M, AIR) ** (-(AIR - 1.0) / AIR) == pytest.approx(
        T, abs=digits(6)
    )
    area = relations.mass_number(1.0, AIR) / relations.mass_number(M, AIR)
    assert area == pytest.approx(A, abs=digits(6))
    if M <= 1.0:
        assert relations.mach_of_mass_number(relations.mass_number(M, AIR), AIR) == pytest.approx(
            M,
            rel=1e-7,  # at M = 1 the root is double: half of the digits of round-off
        )


@pytest.mark.parametrize(("gamma", "p", "m"), CRITICAL)
def test_sonic_flow(gamma: float, p: float, m: float) -> None:
    assert 1.0 / relations.stagnation_ratio(1.0, gamma) == pytest.approx(p, abs=digits(6))
    assert relations.mass_number(1.0, gamma) == pytest.approx(m, abs=digits(6))
    # One square centimetre at 1.01325 bar and 288.15 K passes 24.1240 g/s of air.
    if gamma == AIR:
        flow = relations.mass_number(1.0, gamma) * 1e-4 * 101325.0 / math.sqrt(287.05 * 288.15)
        assert flow == pytest.approx(0.0241240, abs=digits(7))
    assert relations.mach_of_mass_number(1.0001 * m, gamma) == relations.CHOKED


@pytest.mark.parametrize("row", FANNO, ids=lambda row: f"{row[0]:g}")
def test_fanno_length(row: tuple[float, ...]) -> None:
    for gamma, F in zip((1.40, 1.33, 1.30), row[1:], strict=True):
        assert relations.fanno(row[0], gamma) == pytest.approx(F, abs=digits(6))


@pytest.mark.parametrize(("M", "p", "T", "p0"), FANNO_PRESSURE)
def test_fanno_pressures(M: float, p: float, T: float, p0: float) -> None:
    # At one mass flow, area and T0 the pressures follow from the mass number alone.
    p0_found = relations.mass_number(1.0, AIR) / relations.mass_number(M, AIR)
    static = p0_found * relations.stagnation_ratio(1.0, AIR) / relations.stagnation_ratio(M, AIR)
    assert p0_found == pytest.approx(p0, abs=digits(6))
    assert static == pytest.approx(p, abs=digits(6))
    ratio = relations.stagnation_ratio(1.0, AIR) / relations.stagnation_ratio(M, AIR)
    assert ratio ** ((AIR - 1.0) / AIR) == pytest.approx(T, abs=digits(6))


@pytest.mark.parametrize(("M", "T0", "T", "p", "p0"), RAYLEIGH)
def test_rayleigh_line(M: float, T0: float, T: float, p: float, p0: float) -> None:
    """Equal impulse and mass flow: what ``impulse`` must carry across wall heat."""
    found = (relations.impulse(1.0, AIR) / relations.impulse(M, AIR)) ** 2
    assert found == pytest.approx(T0, abs=digits(6))
    pressure = math.sqrt(found) * relations.mass_number(1.0, AIR) / relations.mass_number(M, AIR)
    assert pressure == pytest.approx(p0, abs=digits(6))
    static = pressure * relations.stagnation_ratio(1.0, AIR) / relations.stagnation_ratio(M, AIR)
    assert static == pytest.approx(p, abs=digits(6))
    # T/T* = (T0/T0*) (p/p0)/(p*/p0*) to the power (gamma-1)/gamma.
    assert found * (static / pressure) ** ((AIR - 1.0) / AIR) == pytest.approx(T, abs=digits(6))


@pytest.mark.parametrize(
    ("T02", "M2", "p2"),
    [(1000.0, 0.268182, 103654.9), (800.0, 0.235188, 105891.8), (1400.0, 0.331373, 98889.5)],
)
def test_rayleigh_run(T02: float, M2: float, p2: float) -> None:
    M1, T01, p1 = 0.3, 1200.0, 101325.0
    M = relations.mach_of_impulse(relations.impulse(M1, AIR) * math.sqrt(T01 / T02), AIR)
    assert M == pytest.approx(M2, abs=digits(6))
    assert p1 * (1.0 + AIR * M1**2) / (1.0 + AIR * M**2) == pytest.approx(p2, abs=digits(1))


def test_heating_beyond_sonic_is_choked() -> None:
    # T0*/T0 at M = 0.3 is 1/0.346860 = 2.8830: a little less passes, a little more does not.
    y = relations.impulse(0.3, AIR)
    assert relations.mach_of_impulse(y / math.sqrt(2.88), AIR) > 0.9
    assert relations.mach_of_impulse(y / math.sqrt(2.89), AIR) == relations.CHOKED


@pytest.mark.parametrize(("share", "row"), EXPANSION)
def test_sudden_expansion(share: float, row: tuple[float, ...]) -> None:
    for M1, K in zip((0.1, 0.3, 0.5, 0.7, 0.9), row, strict=True):
        M2 = relations.mach_after_expansion(M1, share, AIR)
        p02 = share * relations.mass_number(M1, AIR) / relations.mass_number(M2, AIR)
        found = (1.0 - p02) / (1.0 - 1.0 / relations.stagnation_ratio(M1, AIR))
        assert found == pytest.approx(K, rel=1e-3)  # 0.1 %: four digits, the smallest .0631
        # The balance itself: p1 A2 + mdot u1 = p2 A2 + mdot u2, round-off.
        p1 = 1.0 / relations.stagnation_ratio(M1, AIR)
        p2 = p02 / relations.stagnation_ratio(M2, AIR)
        assert p1 + share * AIR * p1 * M1**2 == pytest.approx(p2 * (1 + AIR * M2**2), rel=1e-12)


def test_sudden_expansion_mach_behind() -> None:
    for share, M2 in ((0.25, 0.1200), (0.50, 0.2334), (0.75, 0.3531)):
        assert relations.mach_after_expansion(0.5, share, AIR) == pytest.approx(M2, abs=digits(4))


def test_sudden_expansion_tends_to_borda_carnot() -> None:
    for share in (0.1, 0.5, 0.9):
        M2 = relations.mach_after_expansion(1e-3, share, AIR)
        p02 = share * relations.mass_number(1e-3, AIR) / relations.mass_number(M2, AIR)
        K = (1.0 - p02) / (1.0 - 1.0 / relations.stagnation_ratio(1e-3, AIR))
        # M^2 = 1e-6 of compressibility, and 1e-16/M^2 of round-off.
        assert K == pytest.approx((1.0 - share) ** 2, rel=1e-4)


@pytest.mark.parametrize("gamma", [1.28, 1.33, 1.40])
@pytest.mark.parametrize("M", [1e-4, 0.02, 0.3, 0.7, 0.95])
def test_loss_is_the_integral_of_its_definition(M: float, gamma: float) -> None:
    """d ln p0 = -(gamma M^2/2) dK at constant T0, integrated here step by step."""
    K = 0.4 * relations.fanno(M, gamma)

    def slope(_: float, y: np.ndarray) -> list[float]:
        # ln of M from the constant mass number: (1 - M^2)/(1 + (gamma-1)/2 M^2) dlnM = -dln p0.
        M2 = math.exp(2.0 * y[1])
        fall = 0.5 * gamma * M2
        return [-fall, fall * (1.0 + 0.5 * (gamma - 1.0) * M2) / (1.0 - M2)]

    end = solve_ivp(slope, (0.0, K), [0.0, math.log(M)], rtol=1e-10, atol=1e-13).y[:, -1]
    M2 = relations.mach_after_loss(M, K, gamma)
    assert M2 == pytest.approx(math.exp(end[1]), rel=1e-7)  # the integrator's 1e-10 per step
    p0 = relations.mass_number(M, gamma) / relations.mass_number(M2, gamma)
    assert math.log(p0) == pytest.approx(end[0], rel=1e-6)
    # A loss taken back leaves the state it started from: round-off, magnified by 1/(1 - M).
    assert relations.mach_after_loss(M2, -K, gamma) == pytest.approx(M, rel=1e-10)


def test_fanno_is_an_integral_over_the_mach_number() -> None:
    for gamma in (1.30, 1.40):
        for M in (0.15, 0.5, 0.8):

            def slope(x: float, gamma: float = gamma) -> float:
                # dK = (1 - M^2) dM^2 / (gamma M^4 (1 + (gamma-1)/2 M^2)), Shapiro eq. 6.21.
                return (1.0 - x) / (gamma * x * x * (1.0 + 0.5 * (gamma - 1.0) * x))

            K, error = quad(slope, M * M, 1.0, epsrel=1e-11)
            assert relations.fanno(M, gamma) == pytest.approx(K, abs=10.0 * error + 1e-12)


def test_more_loss_than_the_fanno_length_is_choked() -> None:
    F = relations.fanno(0.4, AIR)
    assert relations.mach_after_loss(0.4, 0.99999 * F, AIR) > 0.99
    assert relations.mach_after_loss(0.4, 1.00001 * F, AIR) == relations.CHOKED


@pytest.mark.parametrize("M", [1e-6, 1e-3, 0.1, 0.5, 0.9, 0.999, 1.0 - 1e-6])
def test_mach_numbers_survive_a_round_trip(M: float) -> None:
    for gamma in (1.25, 1.40):
        m = relations.mass_number(M, gamma)
        # m is flat at M = 1: an ulp of m moves M by 1e-16/(1 - M), and the root by its square root.
        slack = 1e-13 + 4e-16 / (1.0 - M)
        assert relations.mach_of_mass_number(m, gamma) == pytest.approx(M, rel=slack)
        static = M * math.sqrt(gamma * (1.0 + 0.5 * (gamma - 1.0) * M * M))
        # Below M = 1e-3 the quadratic's difference of roots cancels to 1e-16/M^2.
        assert relations.mach_of_static(static, gamma) == pytest.approx(M, rel=1e-12 + 4e-16 / M**2)
        assert relations.mach_of_impulse(relations.impulse(M, gamma), gamma) == pytest.approx(
            M, rel=1e-12 + 4e-16 / (1.0 - M) ** 2
        )
