"""Three answers that are known beforehand: a Fanno duct, a shock tube, a combined uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

R, GAMMA, P, T, DEPRESSION = 287.05, 1.4, 101325.0, 293.15, 6974.492
"""Air and bench of the duct: 28 inH2O of 249.089 Pa [SI]."""
BORE, LENGTH, DARCY = 0.040, 1.0, 0.02
"""Of the duct [m, m, -]."""


@dataclass(frozen=True)
class Check:
    """An answer beside the exact one."""

    name: str
    what: str
    found: float
    exact: float
    unit: str
    tolerance: float
    """Relative."""
    source: str

    @property
    def error(self) -> float:
        """Relative."""
        return self.found / self.exact - 1.0

    @property
    def passed(self) -> bool:
        """Whether it keeps its tolerance."""
        return abs(self.error) <= self.tolerance


def fanno_rest(M: float) -> float:
    """Friction that a stream can still bear before it is sonic.

    f L*/D = (1 - M^2)/(gamma M^2) + (gamma + 1)/(2 gamma) ln[(gamma + 1) M^2/(2 + (gamma - 1) M^2)]

    Parameters
    ----------
    M : float   Mach number, below 1 [-]
    Returns
    -------
    friction : float   f L/D [-]
    Source      Shapiro 1953 ch. 6, from memory
    """
    log = math.log((GAMMA + 1.0) * M * M / (2.0 + (GAMMA - 1.0) * M * M))
    return (1.0 - M * M) / (GAMMA * M * M) + (GAMMA + 1.0) / (2.0 * GAMMA) * log


def fanno_flux() -> float:
    """Mass flux of the duct behind a lossless mouth, in closed form.

    Returns
    -------
    flux : float   [kg/s/m2]
    Source      Shapiro 1953 ch. 6, from memory: perfect gas
    """
    from scipy.optimize import brentq

    def flux(M: float) -> float:
        root = math.sqrt(GAMMA / (R * T))
        return P * root * M * (1.0 + 0.2 * M * M) ** -3.0

    def too_high(M: float) -> float:
        friction = DARCY * LENGTH / BORE
        out = float(brentq(lambda x: fanno_rest(x) - fanno_rest(M) + friction, M, 1.0, xtol=1e-15))
        static = flux(M) / out * math.sqrt(R * T / (GAMMA * (1.0 + 0.2 * out * out)))
        return static - (P - DEPRESSION)

    most = float(brentq(lambda M: fanno_rest(M) - DARCY * LENGTH / BORE, 0.05, 0.9999, xtol=1e-15))
    return flux(float(brentq(too_high, 1e-3, most * (1.0 - 1e-9), xtol=1e-15)))


def fanno_check() -> Check:
    """The steady solver on a long duct of one friction factor.

    Returns
    -------
    check : Check   [kg/s]
    Source      ``fanno_flux``; 0.05 % leaves room for gamma, which is 1.4007 in dry air
    """
    from pulse1d.case.design import Design
    from pulse1d.case.document import Document
    from pulse1d.case.schema import Case
    from pulse1d.run.bench import predict_bench

    case = Case.model_validate(
        {
            "format": "pulse1d case 1",
            "about": {"name": "Fanno duct"},
            "bench": {
                "depression": DEPRESSION,
                "adapter": {"ideal": True},
                "fixed end": "outlet",
                "direction": "sucked",
            },
            "head": {"ports": [{"name": "1"}]},
            "surface": {"f D": DARCY},
            "runners": [
                {
                    "port": "1",
                    "section": {"shape": "round", "bore": BORE},
                    "pieces": [{"kind": "straight", "length": LENGTH}],
                    "to": "outlet",
                }
            ],
        }
    )
    design = Design(case, Path("fanno.yaml"), Document(Path("fanno.yaml"), "", {}, {}, {}))
    found = predict_bench(design, samples=0).ports[0].answer.mdot
    return Check(
        "Fanno duct", "steady solver: mass flow of a sucked duct of f L/D 0.5, 28 inH2O",
        found, fanno_flux() * 0.25 * math.pi * BORE**2, "kg/s", 5e-4,
        "Shapiro 1953 ch. 6, from memory",
    )  # fmt: skip


def shock_check() -> Check:
    """The wave kernel on Sod's shock tube, 400 cells.

    Returns
    -------
    check : Check   Mean pressure between the waves [-]
    Source      Toro 2009 table 4.2, from memory: p* 0.30313; five digits and the mesh make 0.1 %
    """
    from pulse1d.waves.pipes import ConstantGas, Free, Net, Pipe
    from pulse1d.waves.solve import solve

    x = (np.arange(400) + 0.5) / 400
    p, rho = np.where(x < 0.5, 1.0, 0.1), np.where(x < 0.5, 1.0, 0.125)
    pipe = Pipe(1.0, area=1.0, cells=400, p=p, u=np.zeros(400), T=p / rho)
    run = solve(
        Net(
            {"a": pipe},
            {("a", "start"): Free(), ("a", "stop"): Free()},
            gas=ConstantGas(gamma=1.4, R=1.0),
        ),
        0.2,
        times=1,
    )
    between = (x > 0.52) & (x < 0.80)
    found = float(np.asarray(run.profiles["a"].p)[between].mean())
    return Check(
        "shock tube", "wave kernel: pressure between shock and rarefaction, Sod's tube, 400 cells",
        found, 0.30313, "of the left pressure", 1e-3, "Toro 2009 table 4.2, from memory",
    )  # fmt: skip


def uncertainty_check() -> Check:
    """Propagation of correlated readings, example H.2 of JCGM 100.

    Returns
    -------
    check : Check   Standard uncertainty of the resistance [ohm]
    Source      JCGM 100:2008 example H.2, from memory: 0.071 ohm, printed to 0.001
    """
    from pulse1d.measure.propagate import covariance, sensitivities

    read = np.array(
        [
            [5.007, 4.994, 5.005, 4.990, 4.999],
            [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
            [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
        ]
    )
    mean, u = read.mean(axis=1), read.std(axis=1, ddof=1) / math.sqrt(5.0)

    def resistance(z: NDArray[np.float64]) -> NDArray[np.float64]:
        volt, ampere, phi = (mean + z * u).T
        return np.asarray(volt / ampere * np.cos(phi))[..., None]

    found = covariance(sensitivities(resistance, 3), np.corrcoef(read))
    return Check(
        "uncertainty", "bench reduction: u(R) of correlated readings, JCGM 100 example H.2",
        math.sqrt(float(found[0, 0])), 0.071, "ohm", 0.5e-3 / 0.071,
        "JCGM 100:2008 example H.2, from memory; printed to 0.001 ohm",
    )  # fmt: skip
