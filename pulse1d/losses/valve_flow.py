"""Discharge coefficients of an exhaust poppet valve where no measured table is stated."""

from __future__ import annotations

from pulse1d.losses.table import columns, curve, within

TABLE = "heywood1988_fig6-18to6-21"

BAND_TABLE = 0.08 / 0.65
"""Half width of ln Cd of the table that ships with the package: +-0.08 on a typical 0.65 [-]."""

REVERSE_SHARE = 0.87
"""Reversed over forward coefficient where only forward is stated: mean of that table [-]."""


def Cd_valve(lift_over_D: float) -> tuple[float, float]:
    """Discharge coefficients of an exhaust poppet valve on the curtain area.

    Monotone cubic between the table's points; below lift/D 0.05 the first value holds, as the
    curtain area itself goes to 0.

    Parameters
    ----------
    lift_over_D : float   Lift over head diameter [-], 0 .. 0.35
    Returns
    -------
    Cd, Cd_rev : float   Cylinder to port, port to cylinder [-]
    Errors      ValueError beyond the table.
    Limits      +-0.08; one pressure ratio. Maps over pressure ratio are better where they exist.
    Source      heywood1988 figs 6-18 to 6-21 (data/heywood1988_fig6-18to6-21.csv), from memory
    """
    top = float(columns(TABLE)["lift_over_D"][-1])
    if not 0.0 <= lift_over_D <= top * (1.0 + 1e-9):
        raise ValueError(
            f"lift/D {lift_over_D:.3f} is outside the table of discharge coefficients (0 to "
            f"{top:g}); state a flow table that reaches this lift"
        )
    place = within(TABLE, "lift_over_D", lift_over_D)
    forward, reverse = (curve(TABLE, "lift_over_D", way)(place) for way in ("forward", "reverse"))
    return float(forward), float(reverse)
