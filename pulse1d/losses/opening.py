"""Flow through an opening between two ducts: contraction to a jet, then mixing.

Steps, flange joints, gaskets and weld beads are all this. Each becomes a JET row: isentropic to a
jet of area Cc A_0, then a momentum balance up to the section behind, so only the contraction needs
a coefficient.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Z_90, Effect, Law, Step
from pulse1d.losses.table import columns, curve


def Cc_weisbach(share: float) -> float:
    """Jet over opening area of a sharp contraction into a duct; the low side of the evidence.

    Table against the open share of the section before, monotone cubic between its points.

    Parameters
    ----------
    share : float   Opening over upstream area [-], 0 .. 1
    Returns
    -------
    Cc : float   0.617 .. 1 [-]
    Source      weisbach1855 (data/weisbach1855_contraction.csv), from memory
    """
    return float(curve("weisbach1855_contraction", "share", "Cc")(min(max(share, 0.0), 1.0)))


def Cc_idelchik(share: float) -> float:
    """Jet over opening area of a thin sharp-edged orifice; the high side of the evidence.

    Cc = 1 / (1 + sqrt((1 - share)/2))

    Parameters
    ----------
    share : float   Opening over upstream area [-], 0 .. 1
    Returns
    -------
    Cc : float   0.586 .. 1 [-]
    Source      idelchik1986 p. 221: K = (1 + 0.707 sqrt(1 - s) - s)^2 / s^2 in an even pipe
    """
    return 1.0 / (1.0 + math.sqrt(0.5 * (1.0 - min(share, 1.0))))


def lip_factor(share: float, r_over_D: float) -> float:
    """How much of a contraction's own loss a rounded lip leaves.

    factor = K_round(r/D) / K_sharp at the same area ratio; the limit of both at share 1

    Parameters
    ----------
    share : float   Opening over upstream area [-]
    r_over_D : float   Lip radius over the opening's diameter [-], held at 1 above
    Returns
    -------
    factor : float   1 sharp, falling to 0.1 and less well rounded [-]
    Source      rennels2012, through the fluids library
    """
    from fluids.fittings import contraction_round, contraction_sharp

    if r_over_D <= 0.0:
        return 1.0
    beta = min(math.sqrt(share), 1.0 - 1e-6)  # at 1 both coefficients vanish; their ratio does not
    r = min(r_over_D, 1.0)
    return float(contraction_round(1.0, beta, r * beta) / contraction_sharp(1.0, beta))


def thickness_factor(l_over_D: float) -> float:
    """How much of the thin orifice's vena contracta reaches the section behind.

    tau(l/D) / tau(0): 1 for a thin lip, 0 where the stream lies on the lip again.

    Parameters
    ----------
    l_over_D : float   Length of the lip over hydraulic diameter of the opening [-]
    Returns
    -------
    factor : float   1 .. 0 [-]
    Source      idelchik1986 diagram 4-12 (data/idelchik1986_diagram4-12_tau.csv)
    """
    table = columns("idelchik1986_diagram4-12_tau")
    if l_over_D >= table["l_over_D"][-1]:
        return 0.0
    tau = curve("idelchik1986_diagram4-12_tau", "l_over_D", "tau")
    return float(tau(max(l_over_D, 0.0)) / table["tau"][0])


def K_opening(A_0: float, A_1: float, A_2: float, Cc: float, l_over_D: float = 0.0) -> float:
    """Loss of flow from A_1 through an opening A_0 into A_2, incompressible.

    K = (A_2/A_0)^2 [c^2 + 2 t c e + e^2],  c = 1/Cc - 1,  e = 1 - A_0/A_2,
    t = thickness_factor(l/D); thin (t = 1) it is (A_2/(A_0 Cc) - 1)^2

    Parameters
    ----------
    A_0, A_1, A_2 : float   Opening, section before and behind [m^2]
    Cc : float   Contraction coefficient at A_0/A_1 [-]
    l_over_D : float   Length of the opening over its diameter [-]
    Returns
    -------
    K : float   Total-pressure loss over the velocity head behind, at A_2 [-]
    Errors      ValueError when the opening is wider than a section beside it.
    Source      momentum balance; idelchik1986 diagram 4-12 for thick lips
    """
    if min(A_1, A_2) * (1.0 + 1e-9) < A_0:
        raise ValueError(
            f"an opening of {1e6 * A_0:.4g} mm^2 is wider than the section beside it "
            f"({1e6 * min(A_1, A_2):.4g} mm^2); check the areas and their order"
        )
    c, e = 1.0 / Cc - 1.0, max(1.0 - A_0 / A_2, 0.0)
    cross = 1.0 if l_over_D <= 0.0 else thickness_factor(l_over_D)
    return (A_2 / A_0) ** 2 * (c * c + 2.0 * cross * c * e + e * e)


class Jets(NamedTuple):
    """Jet areas that carry a mean, a low and a high loss [m^2]."""

    mean: float
    low_loss: float
    high_loss: float


def jet_of(K: float, A_2: float) -> float:
    """Jet area whose mixing up to A_2 costs K.

    jet = A_2 / (1 + sqrt(K))

    Parameters
    ----------
    K : float   Loss over the velocity head behind [-]
    A_2 : float   Section behind [m^2]
    Returns
    -------
    jet : float   [m^2]
    Source      exact (incompressible momentum balance)
    """
    return A_2 / (1.0 + math.sqrt(K))


def K_opening_bounds(
    A_0: float, A_1: float, A_2: float, lip_over_D: float = 0.0, l_over_D: float = 0.0
) -> tuple[float, float]:
    """Low and high loss of an opening: Weisbach's contraction, Idelchik's thin orifice.

    Parameters
    ----------
    A_0, A_1, A_2 : float   Opening, section before and behind [m^2]
    lip_over_D, l_over_D : float   Lip radius and lip length over the opening's diameter [-]
    Returns
    -------
    K_lo, K_hi : float   Total-pressure loss over the velocity head behind [-]
    Errors      ValueError when the opening is wider than a section beside it.
    Source      weisbach1855, idelchik1986, rennels2012 for rounded lips
    """
    share = min(A_0 / A_1, 1.0)
    softer = math.sqrt(lip_factor(share, lip_over_D))
    found = []
    for sharp in (Cc_weisbach(share), Cc_idelchik(share)):
        Cc = 1.0 / (1.0 + softer * (1.0 / sharp - 1.0))
        found.append(K_opening(A_0, A_1, A_2, Cc, l_over_D))
    return min(found), max(found)


def jets_through(
    A_0: float, A_1: float, A_2: float, lip_over_D: float = 0.0, l_over_D: float = 0.0
) -> Jets:
    """Jet areas of an opening for the mean of the low and high loss, and for each.

    Parameters
    ----------
    A_0, A_1, A_2 : float   Opening, section before and behind [m^2]
    lip_over_D, l_over_D : float   Lip radius and lip length over the opening's diameter [-]
    Returns
    -------
    jets : Jets   Mean, low-loss and high-loss jet areas [m^2]
    Errors      ValueError when the opening is wider than a section beside it.
    Source      weisbach1855, idelchik1986, rennels2012 for rounded lips
    """
    low, high = K_opening_bounds(A_0, A_1, A_2, lip_over_D, l_over_D)
    return Jets(jet_of(0.5 * (low + high), A_2), jet_of(low, A_2), jet_of(high, A_2))


def jet_step(before: Section, behind: Section, jet: float, jet_rev: float) -> Step:
    """A JET row between two sections.

    Parameters
    ----------
    before, behind : Section   Sections on the port and the outlet side [-]
    jet, jet_rev : float   Jet areas of forward and reversed flow [m^2]
    Returns
    -------
    step : Step   The row [SI]
    Source      none
    """
    return Step(
        law=Law.JET,
        A_1=before.area,
        A_2=behind.area,
        D_1=before.D_h,
        D_2=behind.D_h,
        jet=jet,
        jet_rev=jet_rev,
    )


def jet_effects(cause: str, forward: Jets, reverse: Jets) -> tuple[Effect, ...]:
    """Band of a JET row from low to high loss, both directions moving together.

    Parameters
    ----------
    cause : str   Key of the cause [-]
    forward, reverse : Jets   Jet areas of both directions [m^2]
    Returns
    -------
    effects : tuple   For step 0; none where low and high agree [-]
    Source      judgement: the two bounds are read as a 5-95 % band
    """
    rows = (("jet", forward), ("jet_rev", reverse))
    sizes = [(column, 0.5 * (jets.high_loss - jets.low_loss) / Z_90) for column, jets in rows]
    return tuple(Effect(cause, 0, column, "add", size) for column, size in sizes if size != 0.0)


def inset_area(section: Section, depth: float) -> float:
    """Area left when a ridge of even height stands all round a section.

    Parameters
    ----------
    section : Section   The bare section [-]
    depth : float   Height of the ridge [m]
    Returns
    -------
    A_0 : float   Area inside the ridge [m^2]
    Errors      ValueError when the ridge closes the section.
    Limits      within 1e-3 of the blocked area (chords of the outline).
    Source      plane geometry, no source
    """
    outline = section.outline()
    left = section.area - float(outline.area - outline.buffer(-depth).area)
    if left <= 0.01 * section.area:
        raise ValueError(
            f"a ridge of {1e3 * depth:.4g} mm closes {section.describe()}; check its height"
        )
    return left
