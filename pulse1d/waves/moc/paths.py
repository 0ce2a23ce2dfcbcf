"""Path lines: points that move with the gas and carry its entropy level.

They lie between the nodes, so a contact is not smeared by the mesh: it keeps the width it had
when it entered, about one cell. Nodes read the level by linear interpolation between them. Both
end nodes are points for one step; where gas enters, the end's point stays as a new path line.
Source: Benson 1982 (path lines of the non-homentropic method), from memory; thinning and filling
are this file's own.
"""

from __future__ import annotations

from numba import njit

from pulse1d.waves.moc.mesh import warming

CLOSEST, ENTERING, WIDEST = 0.25, 0.5, 1.5
"""Spacing in cells: below it a path line is dropped, from it on one enters, above it one is added.
Judgement: a contact may lose half a cell of its place."""
ROOM = 5
"""Places per cell; the spacing rule needs at most 4."""


@njit(cache=True, error_model="numpy")
def between(values, first, count, s):
    """Node values at a place between nodes, held beyond the ends.

    Parameters
    ----------
    values : (nodes,) array   as in ``State`` [-]
    first, count : int   First node and number of nodes of the pipe [-]
    s : float   Distance from the pipe's start in cells [-]
    Returns
    -------
    value : float   as in ``values`` [-]
    """
    i = min(max(int(s), 0), count - 2)
    w = min(max(s - i, 0.0), 1.0)
    return values[first + i] + w * (values[first + i + 1] - values[first + i])


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
    first, count = net.first[pipe], net.first[pipe + 1] - net.first[pipe]
    gas, wall, dx = (net.gamma, net.R), net.wall[pipe], net.dx[pipe]
    points = old.count[pipe] + 2
    for k in range(points):
        if k == 0:
            y, level = 0.0, old.aA[first]
        elif k == points - 1:
            y, level = (count - 1) * dx, old.aA[first + count - 1]
        else:
            y, level = old.y[pipe, k - 1], old.level[pipe, k - 1]
        s = y / dx
        u = between(old.u, first, count, s)
        node = (between(old.X, first, count, s), u, level)
        rise = warming(node, between(net.D, first, count, s), wall, gas)
        if w > 0.0:
            s = (y + dt * u) / dx
            u_new = between(new.u, first, count, s)
            node = (between(new.X, first, count, s), u_new, level + dt * rise)
            rise_new = warming(node, between(net.D, first, count, s), wall, gas)
            u, rise = (1.0 - w) * u + w * u_new, (1.0 - w) * rise + w * rise_new
        work.y[pipe, k], work.level[pipe, k] = y + dt * u, level + dt * rise
    return points


@njit(cache=True, error_model="numpy")
def read_levels(net, new, work, pipe, points):
    """Entropy level at the nodes of a pipe from its moved path lines.

    A node at an end that gas enters through keeps its estimate: the end's law decides.

    Parameters
    ----------
    net, new, work : Net, State, Work   ``new.aA`` and column 2 of ``work.line`` are set [m/s]
    pipe, points : int   [-]
    """
    y, level, dx = work.y[pipe], work.level[pipe], net.dx[pipe]
    first, last = net.first[pipe], net.first[pipe + 1] - 1
    work.line[2 * pipe, 2] = level[0]
    work.line[2 * pipe + 1, 2] = level[points - 1]
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
            work.line[2 * pipe, 2] = new.aA[j]
        if j == last:
            work.line[2 * pipe + 1, 2] = new.aA[j]


@njit(cache=True, error_model="numpy")
def settle(net, new, work, pipe, points):
    """Path lines of the new level: those inside the pipe, thinned and filled.

    Parameters
    ----------
    net, new, work : Net, State, Work   ``new.y``, ``new.level``, ``new.count`` are set [m, m/s]
    pipe, points : int   [-]
    """
    dx = net.dx[pipe]
    first, end = net.first[pipe], net.first[pipe + 1] - 1
    length = (end - first) * dx
    n, y_last, level_last = 0, 0.0, new.aA[first]
    for k in range(points):
        y, level = work.y[pipe, k], work.level[pipe, k]
        if y <= 0.0 or y >= length:
            continue
        least = CLOSEST * dx if n > 0 else 0.0
        if k == 0 and points > 2 and work.y[pipe, 1] - y < ENTERING * dx:
            continue
        if k == points - 1:
            least = ENTERING * dx
        if y - y_last < least:
            continue
        if y - y_last > WIDEST * dx:
            new.y[pipe, n] = 0.5 * (y + y_last)
            new.level[pipe, n] = 0.5 * (level + level_last)
            n += 1
        new.y[pipe, n], new.level[pipe, n] = y, level
        y_last, level_last = y, level
        n += 1
    if length - y_last > WIDEST * dx:
        new.y[pipe, n] = 0.5 * (length + y_last)
        new.level[pipe, n] = 0.5 * (new.aA[end] + level_last)
        n += 1
    new.count[pipe] = n
