"""Path lines: points that move with the gas and carry its entropy level.

They lie between the nodes, so a contact is not smeared by the mesh: it keeps the width it had
when it entered, about one cell. Nodes read the level by linear interpolation between them. Both
end nodes are points for one step; where gas enters, the end's point stays as a new path line.
Source: Benson 1982 (path lines of the non-homentropic method), from memory; thinning and filling
are this file's own.
"""

from __future__ import annotations

from numba import njit

from pulse1d.waves.moc.arrays import DX, F_D
from pulse1d.waves.moc.mesh import warming

CLOSEST, ENTERING, WIDEST = 0.25, 0.5, 1.5
"""Spacing in cells: below it a path line is dropped, from it on one enters, above it one is added.
Judgement: a contact may lose half a cell of its place."""
ROOM = 5
"""Places per cell; the spacing rule needs at most 4."""


@njit(cache=True, error_model="numpy")
def place(s, count):
    """Node before a place between nodes, held inside the pipe, and the share of the next one.

    Parameters
    ----------
    s : float   Distance from the pipe's start in cells [-]
    count : int   Nodes of the pipe [-]
    Returns
    -------
    i, w : int, float   [-]
    """
    i = min(max(int(s), 0), count - 2)
    return i, min(max(s - i, 0.0), 1.0)


@njit(cache=True, error_model="numpy")
def motion(X, u, D, s, level, pipe, gas):
    """Velocity and warming of a parcel.

    Parameters
    ----------
    X, u, D : (n,) arrays   At the pipe's nodes [-, m/s, m]
    s : float   Place in cells [-]
    level : float   The parcel's aA [m/s]
    pipe, gas : tuples   as in ``warming`` [-]
    Returns
    -------
    u, rise : float   [m/s, m/s2]
    """
    i, w = place(s, u.shape[0])
    v = u[i] + w * (u[i + 1] - u[i])
    if pipe[F_D] == 0.0:
        return v, 0.0
    node = (X[i] + w * (X[i + 1] - X[i]), v, level)
    return v, warming(node, D[i] + w * (D[i + 1] - D[i]), pipe, gas)


@njit(cache=True, error_model="numpy")
def move(net, old, new, work, pipe, step):
    """Path lines and end nodes of a pipe carried over a time step, into ``work``.

    Parameters
    ----------
    net, old, new, work : Net, State, State, Work   ``new`` holds the present estimate
    pipe : int   [-]
    step : tuple of 2 floats   dt and weight of the new level [s, -]
    Returns
    -------
    points : int   Path lines and the two end nodes [-]
    """
    dt, w = step
    a, b = net.first[pipe], net.first[pipe + 1]
    row = net.pipe[pipe]
    numbers, gas = (row[0], row[1], row[2], row[3]), (net.gamma, net.R)
    X, u, X_2, u_2, D = old.X[a:b], old.u[a:b], new.X[a:b], new.u[a:b], net.D[a:b]
    ys, levels, y_2, level_2 = (
        old.path[0, pipe],
        old.path[1, pipe],
        work.path[0, pipe],
        work.path[1, pipe],
    )
    dx = row[DX]
    points = old.count[pipe] + 2
    for k in range(points):
        if k == 0:
            y, level = 0.0, old.aA[a]
        elif k == points - 1:
            y, level = (b - 1 - a) * dx, old.aA[b - 1]
        else:
            y, level = ys[k - 1], levels[k - 1]
        v, rise = motion(X, u, D, y / dx, level, numbers, gas)
        if w > 0.0:
            goal, warmer = y + dt * v, level + dt * rise
            v_new, rise_new = motion(X_2, u_2, D, goal / dx, warmer, numbers, gas)
            v, rise = (1.0 - w) * v + w * v_new, (1.0 - w) * rise + w * rise_new
        y_2[k], level_2[k] = y + dt * v, level + dt * rise
    return points


@njit(cache=True, error_model="numpy")
def read_levels(net, new, work, pipe, points):
    """Entropy level at the nodes of a pipe from its moved path lines.

    A node at an end that gas enters through keeps its estimate: the end's law decides.

    Parameters
    ----------
    net, new, work : Net, State, Work   ``new.aA`` and column 2 of ``work.end`` are set [m/s]
    pipe, points : int   [-]
    """
    y, level, dx = work.path[0, pipe], work.path[1, pipe], net.pipe[pipe, DX]
    first, last = net.first[pipe], net.first[pipe + 1] - 1
    work.end[2 * pipe, 2] = level[0]
    work.end[2 * pipe + 1, 2] = level[points - 1]
    k = 0
    for j in range(first, last + 1):
        x = (j - first) * dx
        while k < points - 2 and y[k + 1] < x:
            k += 1
        if x < y[k] or x > y[k + 1]:
            continue
        gap = y[k + 1] - y[k]
        w = (x - y[k]) / gap if gap > 0.0 else 0.0
        new.aA[j] = level[k] + w * (level[k + 1] - level[k])
        if j == first:
            work.end[2 * pipe, 2] = new.aA[j]
        if j == last:
            work.end[2 * pipe + 1, 2] = new.aA[j]


@njit(cache=True, error_model="numpy")
def settle(net, new, work, pipe, points):
    """Path lines of the new level: those inside the pipe, thinned and filled.

    Parameters
    ----------
    net, new, work : Net, State, Work   ``new.path``, ``new.count`` are set [m, m/s]
    pipe, points : int   [-]
    """
    dx = net.pipe[pipe, DX]
    first, end = net.first[pipe], net.first[pipe + 1] - 1
    length = (end - first) * dx
    n, y_last, level_last = 0, 0.0, new.aA[first]
    for k in range(points):
        y, level = work.path[0, pipe, k], work.path[1, pipe, k]
        if y <= 0.0 or y >= length:
            continue
        least = CLOSEST * dx if n > 0 else 0.0
        if k == 0 and points > 2 and work.path[0, pipe, 1] - y < ENTERING * dx:
            continue
        if k == points - 1:
            least = ENTERING * dx
        if y - y_last < least:
            continue
        if y - y_last > WIDEST * dx:
            new.path[0, pipe, n] = 0.5 * (y + y_last)
            new.path[1, pipe, n] = 0.5 * (level + level_last)
            n += 1
        new.path[0, pipe, n], new.path[1, pipe, n] = y, level
        y_last, level_last = y, level
        n += 1
    if length - y_last > WIDEST * dx:
        new.path[0, pipe, n] = 0.5 * (length + y_last)
        new.path[1, pipe, n] = 0.5 * (new.aA[end] + level_last)
        n += 1
    new.count[pipe] = n
