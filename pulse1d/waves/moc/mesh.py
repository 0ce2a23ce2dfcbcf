"""Characteristics traced back to the old time level, and the nodes inside a pipe.

On dx/dt = u +- a, with h = (gamma-1)/2 and the path-line level aA (a = X aA):

    aA dX +- h du = h [ -a u (ln A)' + (gamma-1)(q + u F)/a -+ F ] dt

F = f_D u|u|/(2 D), q = f_D |u| cp (T_w - T)/(2 D) (Reynolds analogy). With aA constant the left
side is the differential of Riemann's lambda, beta = a +- h u; written with dX the entropy term
of the non-homentropic method, a d ln aA, needs no discretisation of its own, and gas of uniform
pressure and velocity keeps both whatever its temperature.
Source: Benson, Thermodynamics and Gas Dynamics of Internal-Combustion Engines vol. 1, 1982,
from memory; the equation is re-derived from mass, momentum and energy.
"""

from __future__ import annotations

from numba import njit

from pulse1d.waves.moc.arrays import F_D, SLOPE, T_WALL


@njit(cache=True, error_model="numpy")
def drag_and_heat(u, T, D, wall, cp):
    """Wall friction and wall heat per mass of gas.

    Parameters
    ----------
    u, T, D : float   Velocity, temperature, bore [m/s, K, m]
    wall : (3,) array   Row of ``Net.wall`` [-, -, K]
    cp : float   [J/kg/K]
    Returns
    -------
    F, q : float   Deceleration, heat into the gas [m/s2, W/kg]
    Source      Darcy; Reynolds analogy St = f_D/8 as Benson has it, from memory
    """
    share = 0.5 * wall[F_D] * abs(u) / D
    q = share * cp * (wall[T_WALL] - T) if wall[T_WALL] > 0.0 else 0.0
    return share * u, q


@njit(cache=True, error_model="numpy")
def rate(sign, node, D, wall, gas):
    """Right side of the characteristic equation.

    Parameters
    ----------
    sign : float   +1 on u + a, -1 on u - a [-]
    node : tuple of 3 floats   X, u, aA [-, m/s, m/s]
    D : float   Bore [m]
    wall : (3,) array   Row of ``Net.wall`` [-, -, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    S : float   [m/s2]
    """
    gamma, R = gas
    X, u, aA = node
    a, h = X * aA, 0.5 * (gamma - 1.0)
    S = -2.0 * a * u * wall[SLOPE] / D
    if wall[F_D] > 0.0:
        F, q = drag_and_heat(u, a * a / (gamma * R), D, wall, 0.5 * gamma * R / h)
        S += 2.0 * h * (q + u * F) / a - sign * F
    return h * S


@njit(cache=True, error_model="numpy")
def warming(node, D, wall, gas):
    """Rise of the entropy level of one parcel.

    d ln aA/dt = (gamma-1)(q + u F)/(2 a2)

    Parameters
    ----------
    node : tuple of 3 floats   X, u, aA [-, m/s, m/s]
    D : float   Bore [m]
    wall : (3,) array   Row of ``Net.wall`` [-, -, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    rise : float   daA/dt [m/s2]
    """
    if wall[F_D] == 0.0:
        return 0.0
    gamma, R = gas
    X, u, aA = node
    a2 = X * X * aA * aA
    F, q = drag_and_heat(u, a2 / (gamma * R), D, wall, gamma * R / (gamma - 1.0))
    return aA * 0.5 * (gamma - 1.0) * (q + u * F) / a2


@njit(cache=True, error_model="numpy")
def trace(net, old, new, where, step):
    """The line k X + sign h u = B that a characteristic brings to a node at the new time.

    The foot is found by linear interpolation between the node and the neighbour that the
    characteristic comes from; ``step`` weights the new level in its speed and its sources.

    Parameters
    ----------
    net, old, new : Net, State, State   ``new`` holds the present estimate
    where : tuple   pipe, node, sign of a [-]
    step : tuple of 2 floats   dt and weight of the new level, 0 or 1/2 [s, -]
    Returns
    -------
    k, B, s : float   Coefficients and the foot's distance in cells [m/s, m/s, -]
    """
    pipe, j, sign = where
    dt, w = step
    gas = (net.gamma, net.R)
    h = 0.5 * (net.gamma - 1.0)
    r = dt / net.dx[pipe]
    here = old.u[j] + sign * old.X[j] * old.aA[j]
    speed = (1.0 - w) * here + w * (new.u[j] + sign * new.X[j] * new.aA[j])
    way = 1.0 if speed > 0.0 else -1.0
    n = j - 1 if speed > 0.0 else j + 1
    if n < net.first[pipe] or n >= net.first[pipe + 1]:
        n = j
    there = old.u[n] + sign * old.X[n] * old.aA[n]
    s = r * way * speed / (1.0 + (1.0 - w) * r * way * (here - there))
    X = old.X[j] + s * (old.X[n] - old.X[j])
    u = old.u[j] + s * (old.u[n] - old.u[j])
    aA = old.aA[j] + s * (old.aA[n] - old.aA[j])
    D = net.D[j] + s * (net.D[n] - net.D[j])
    wall = net.wall[pipe]
    S = (1.0 - w) * rate(sign, (X, u, aA), D, wall, gas)
    if w > 0.0:
        S += w * rate(sign, (new.X[j], new.u[j], new.aA[j]), net.D[j], wall, gas)
    k = 0.5 * (aA + new.aA[j])
    return k, k * X + sign * h * u + dt * S, s


@njit(cache=True, error_model="numpy")
def inner_nodes(net, old, new, pipe, step):
    """X and u of the nodes between a pipe's ends, from both characteristics.

    Parameters
    ----------
    net, old, new : Net, State, State   ``new.X``, ``new.u`` are improved in place
    pipe : int   [-]
    step : tuple of 2 floats   dt and weight of the new level [s, -]
    Returns
    -------
    far : float   Longest foot distance in cells; the step is too long above 1 [-]
    """
    h = 0.5 * (net.gamma - 1.0)
    far = 0.0
    for j in range(net.first[pipe] + 1, net.first[pipe + 1] - 1):
        k_1, B_1, s_1 = trace(net, old, new, (pipe, j, 1.0), step)
        k_2, B_2, s_2 = trace(net, old, new, (pipe, j, -1.0), step)
        X = (B_1 + B_2) / (k_1 + k_2)
        new.X[j] = X
        new.u[j] = (B_1 - k_1 * X) / h
        far = max(far, s_1, s_2)
    return far
