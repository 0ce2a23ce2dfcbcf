"""Small tables of the laws, worked out by the laws themselves."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from pulse1d.losses.explained import Values


def grid(
    title: str, corner: str, along: Sequence[str], down: Sequence[tuple[str, float]],
    cell: Callable[[float, int], float],
) -> Values:  # fmt: skip
    """A table over two things.

    Parameters
    ----------
    title, corner : str   Corner: what stands in the first column [-]
    along : sequence of str   Headings of the other columns [-]
    down : sequence of (str, float)   What is printed and what is put in [as the law takes it]
    cell : function   From the value of a row and the place of a column to a number [-]
    Returns
    -------
    values : Values   [-]
    """
    rows: list[tuple[str | float, ...]] = [
        (text, *(cell(x, k) for k in range(len(along)))) for text, x in down
    ]
    return Values(title, (corner, *along), tuple(rows))


def degrees(*angles: float) -> list[tuple[str, float]]:
    """Angles as they are printed and as laws take them.

    Parameters
    ----------
    angles : float   [deg]
    Returns
    -------
    pairs : list of (str, float)   [-, rad]
    """
    return [(f"{angle:g} deg", math.radians(angle)) for angle in angles]


def plain(*numbers: float) -> list[tuple[str, float]]:
    """Numbers as they are printed and as they are.

    Parameters
    ----------
    numbers : float   [-]
    Returns
    -------
    pairs : list of (str, float)   [-]
    """
    return [(f"{number:g}", number) for number in numbers]


def joints() -> tuple[Values, ...]:
    """One leg into a dead joint; a lateral and its run by the lateral's share.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.junction import K_joint, K_single

    ratios = (0.5, 0.8, 1.0, 1.25)
    one = grid(
        "One leg flowing, the others dead: K on its own head, by the turn and its area over the "
        "area behind",
        "turn", [f"A ratio {s:g}" for s in ratios], degrees(0, 15, 30, 45, 60, 90),
        lambda theta, k: float(K_single(theta, ratios[k])),
    )  # fmt: skip

    def lateral(q: float, k: int) -> float:
        theta = math.radians((90.0, 90.0, 45.0, 45.0)[k])
        out = np.array([[-math.cos(theta), math.sin(theta), 0.0], [-1.0, 0, 0], [1.0, 0, 0]])
        flows = np.array([q, 1.0 - q, -1.0])
        K = K_joint(flows, np.ones(3), out)  # type: ignore[no-untyped-call]
        return float(K[0 if k % 2 == 0 else 1])

    two = grid(
        "A lateral into a through run, equal areas: K on the collector's head, by the lateral's "
        "share of the flow",
        "share", ("lateral 90 deg", "run", "lateral 45 deg", "run"),
        plain(0.1, 0.25, 0.5, 0.75, 0.9), lateral,
    )  # fmt: skip
    return one, two


def friction() -> tuple[Values, ...]:
    """Darcy factors by Re and roughness, developed and behind an entry.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.friction import f_churchill, f_developing

    walls = (0.0, 0.0004, 0.0026, 0.0066)
    developed = grid(
        "Darcy factor of developed flow, by Re and roughness over bore",
        "Re", [f"eps/D {e:g}" for e in walls],
        [(f"{Re:.0e}".replace("e+0", "e"), Re) for Re in (1e3, 1e4, 5e4, 1e5, 3e5)],
        lambda Re, k: float(f_churchill(Re, walls[k])),
    )  # fmt: skip
    short = grid(
        "Mean Darcy factor from the lip of a radiused entry, Re 1e5, by length in bores",
        "x/D", [f"eps/D {e:g}" for e in walls], plain(1.0, 3.0, 5.0, 10.0, 20.0, 40.0),
        lambda x, k: float(f_developing(1e5, walls[k], 0.0, x)),
    )  # fmt: skip
    return developed, short


def surfaces() -> tuple[Values, ...]:
    """The surfaces that ship with the package.

    Returns
    -------
    tables : tuple of Values   [mm, -]
    """
    from pulse1d.losses.friction import f_churchill
    from pulse1d.losses.surface import Surface, surface_names, surface_note

    rows = []
    for name in surface_names():
        wall = Surface(name=name)
        low, high = (1e3 * wall.roughness * math.exp(z * wall.band) for z in (-1.0, 1.0))
        f = float(f_churchill(1e5, wall.roughness / 0.038))
        rows.append((name, 1e3 * wall.roughness, low, high, f, surface_note(name)))
    headings = ("surface", "mm", "5 %", "95 %", "f_D", "what stands behind it")
    title = "Surfaces by name: sand roughness, and Darcy factor at Re 1e5 in a 38 mm bore"
    return (Values(title, headings, tuple(rows)),)


def pairs() -> tuple[Values, ...]:
    """Factors of bends and mitres that follow each other.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.neighbours import C_pair, C_pair_mitres

    def cell(spacing: float, k: int) -> float:
        if k < 3:
            return C_pair(spacing, (0.0, 0.5 * math.pi, math.pi)[k])
        return C_pair_mitres(spacing, math.pi)

    return (
        grid(
            "Factor on the K of each of a pair, by the straight length between them in bores",
            "bores", ("same way", "twist 90 deg", "S", "S of mitres"),
            plain(0.5, 1.0, 2.0, 4.0, 8.0, 12.0, 20.0), cell,
        ),
    )  # fmt: skip


def behind() -> tuple[Values, ...]:
    """Factor on a bend's K for the length behind it.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.bend_tables import outlet_factor

    radii = (1.0, 1.5, 2.0)
    return (
        grid(
            "Factor on the K of a 90 deg bend, by the straight length to the outlet in bores",
            "bores", [f"r/D {r:g}" for r in radii], plain(0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 20.0),
            lambda L, k: float(outlet_factor(0.5 * math.pi, radii[k], L)),
        ),
    )  # fmt: skip


def aspects() -> tuple[Values, ...]:
    """Factor on a bend's K for a section that is not round.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.bend_tables import section_factor

    radii = (1.0, 1.5, 2.0)
    return (
        grid(
            "Factor on a bend's K, by the side across its plane over the side in it",
            "aspect", [f"r/D {r:g}" for r in radii], plain(0.25, 0.5, 1.0, 2.0, 4.0),
            lambda aspect, k: section_factor(radii[k], aspect),
        ),
    )  # fmt: skip


def openings() -> tuple[Values, ...]:
    """Contraction coefficients and losses of a sharp opening in an even pipe.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.opening import Cc_idelchik, Cc_weisbach, K_opening_bounds

    def cell(share: float, k: int) -> float:
        if k < 2:
            return (Cc_weisbach, Cc_idelchik)[k](share)
        return K_opening_bounds(share, 1.0, 1.0)[k - 2]

    return (
        grid(
            "A sharp opening in an even pipe, by its share of the section",
            "share", ("Cc low loss", "Cc high loss", "K low", "K high"),
            plain(0.98, 0.95, 0.9, 0.8, 0.6), cell,
        ),
    )  # fmt: skip


def exits() -> tuple[Values, ...]:
    """What a leaving stream loses.

    Returns
    -------
    tables : tuple of Values   [Pa]
    """
    from pulse1d.gas.relations import stagnation_ratio
    from pulse1d.losses.outlet import K_EXIT

    def cell(M: float, k: int) -> float:
        static, q = 101325.0, 0.5 * 1.4 * M * M * 101325.0
        return (K_EXIT, q, static * (float(stagnation_ratio(M, 1.4)) - 1.0))[k]

    return (
        grid(
            "Air leaving into a room of 101.325 kPa, by its Mach number",
            "Mach", ("K", "q Pa", "p0 - p Pa"), plain(0.1, 0.2, 0.3, 0.4, 0.5), cell,
        ),
    )  # fmt: skip


def valves() -> tuple[Values, ...]:
    """Discharge coefficients of an exhaust valve.

    Returns
    -------
    tables : tuple of Values   [-]
    """
    from pulse1d.losses.valve_flow import Cd_valve

    return (
        grid(
            "Coefficient on the curtain area where no measured table is stated",
            "lift/D", ("cylinder to port", "port to cylinder"),
            plain(0.05, 0.1, 0.15, 0.2, 0.25, 0.3), lambda x, k: Cd_valve(x)[k],
        ),
    )  # fmt: skip
