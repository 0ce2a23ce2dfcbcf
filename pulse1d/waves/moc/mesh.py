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

from pulse1d.waves.moc.arrays import DX, F_D, SLOPE, T_WALL


@njit(cache=True, error_model="numpy")
def drag_and_heat(u, T, D, pipe, cp):
    """Wall friction and wall heat per mass of gas.

    Parameters
    ----------
    u, T, D : float   Velocity, temperature, bore [m/s, K, m]
    pipe : tuple of 4 floats   Row of ``Net.pipe`` [m, -, -, K]
    cp : float   [J/kg/K]
    Returns
    -------
    F, q : float   Deceleration, heat into the gas [m/s2, W/kg]
    Source      Darcy; Reynolds analogy St = f_D/8 as Benson has it, from memory
    """
    share = 0.5 * pipe[F_D] * abs(u) / D
    q = share * cp * (pipe[T_WALL] - T) if pipe[T_WALL] > 0.0 else 0.0
    return share * u, q


@njit(cache=True, error_model="numpy")
def rate(sign, node, D, pipe, gas):
    """Right side of the characteristic equation.

    Parameters
    ----------
    sign : float   +1 on u + a, -1 on u - a [-]
    node : tuple of 3 floats   X, u, aA [-, m/s, m/s]
    D : float   Bore [m]
    pipe : tuple of 4 floats   Row of ``Net.pipe`` [m, -, -, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    S : float   [m/s2]
    """
    gamma, R = gas
    X, u, aA = node
    a, h = X * aA, 0.5 * (gamma - 1.0)
    S = -2.0 * a * u * pipe[SLOPE] / D
    if pipe[F_D] > 0.0:
        F, q = drag_and_heat(u, a * a / (gamma * R), D, pipe, 0.5 * gamma * R / h)
        S += 2.0 * h * (q + u * F) / a - sign * F
    return h * S


@njit(cache=True, error_model="numpy")
def warming(node, D, pipe, gas):
    """Rise of the entropy level of one parcel.

    d ln aA/dt = (gamma-1)(q + u F)/(2 a2)

    Parameters
    ----------
    node : tuple of 3 floats   X, u, aA [-, m/s, m/s]
    D : float   Bore [m]
    pipe : tuple of 4 floats   Row of ``Net.pipe`` [m, -, -, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    Returns
    -------
    rise : float   daA/dt [m/s2]
    """
    if pipe[F_D] == 0.0:
        return 0.0
    gamma, R = gas
    X, u, aA = node
    a2 = X * X * aA * aA
    F, q = drag_and_heat(u, a2 / (gamma * R), D, pipe, gamma * R / (gamma - 1.0))
    return aA * 0.5 * (gamma - 1.0) * (q + u * F) / a2


@njit(cache=True, error_model="numpy")
def smaller(a, b):
    """The number nearer to zero, or zero for two of different sign.

    Parameters
    ----------
    a, b : float   [-]
    Returns
    -------
    c : float   [-]
    """
    if a * b <= 0.0:
        return 0.0
    return a if abs(a) < abs(b) else b


@njit(cache=True, error_model="numpy")
def measure_bends(net, old, work):
    """Second differences of X and u at the nodes; an end node has its neighbour's.

    Parameters
    ----------
    net, old, work : Net, State, Work   ``work.bend`` is set [-, m/s]
    """
    if net.order < 2:
        return
    for pipe in range(net.pipe.shape[0]):
        first, last = net.first[pipe], net.first[pipe + 1] - 1
        for j in range(first, last + 1):
            n = min(max(j, first + 1), last - 1)
            work.bend[0, j] = old.X[n - 1] - 2.0 * old.X[n] + old.X[n + 1]
            work.bend[1, j] = old.u[n - 1] - 2.0 * old.u[n] + old.u[n + 1]


@njit(cache=True, error_model="numpy")
def trace(sign, nodes, estimate, pipe, gas, step):
    """The line k X + sign h u = B that a characteristic brings to a node at the new time.

    The foot lies between the node and the neighbour that the characteristic comes from. X and u
    there are interpolated linearly, less s(1-s)/2 times the smaller of the second differences of
    the two nodes (zero where they differ in sign, and in the first-order method). ``step`` weights
    the new level in the speed and the sources.

    Parameters
    ----------
    sign : float   +1 on u + a, -1 on u - a [-]
    nodes : tuple of 3 tuples   Old X, u, aA, D and second differences of X and u, of left
        neighbour, node, right neighbour [m, s]
    estimate : tuple of 3 floats   X, u, aA of the node at the new time so far [-, m/s, m/s]
    pipe : tuple of 4 floats   Row of ``Net.pipe`` [m, -, -, K]
    gas : tuple of 2 floats   gamma, R [-, J/kg/K]
    step : tuple of 2 floats   dt and weight of the new level, 0 or 1/2 [s, -]
    Returns
    -------
    k, B, s : float   Coefficients and the foot's distance in cells [m/s, m/s, -]
    """
    dt, w = step
    h = 0.5 * (gas[0] - 1.0)
    r = dt / pipe[DX]
    left, node, right = nodes
    here = node[1] + sign * node[0] * node[2]
    speed = (1.0 - w) * here + w * (estimate[1] + sign * estimate[0] * estimate[2])
    way = 1.0 if speed > 0.0 else -1.0
    source = left if speed > 0.0 else right
    there = source[1] + sign * source[0] * source[2]
    s = r * way * speed / (1.0 + (1.0 - w) * r * way * (here - there))
    curved = 0.5 * s * (1.0 - s)
    X = node[0] + s * (source[0] - node[0]) - curved * smaller(node[4], source[4])
    u = node[1] + s * (source[1] - node[1]) - curved * smaller(node[5], source[5])
    aA = node[2] + s * (source[2] - node[2])
    S = (1.0 - w) * rate(sign, (X, u, aA), node[3] + s * (source[3] - node[3]), pipe, gas)
    if w > 0.0:
        S += w * rate(sign, estimate, node[3], pipe, gas)
    k = 0.5 * (aA + estimate[2])
    return k, k * X + sign * h * u + dt * S, s


@njit(cache=True, error_model="numpy")
def new_nodes(net, old, new, work, pipe, step):
    """X and u of the nodes inside a pipe, from both characteristics; the lines of its two ends.

    Parameters
    ----------
    net, old, new, work : Net, State, State, Work   ``new.X``, ``new.u`` are improved in place,
        columns 0 and 1 of ``work.end`` set [m/s]
    pipe : int   [-]
    step : tuple of 2 floats   dt and weight of the new level [s, -]
    Returns
    -------
    far : float   Longest foot distance in cells; the step is too long above 1 [-]
    """
    first, last = net.first[pipe], net.first[pipe + 1] - 1
    row = net.pipe[pipe]
    numbers, gas = (row[0], row[1], row[2], row[3]), (net.gamma, net.R)
    h = 0.5 * (net.gamma - 1.0)
    X, u, aA, D, dd_X, dd_u = old.X, old.u, old.aA, net.D, work.bend[0], work.bend[1]
    X_2, u_2, aA_2 = new.X, new.u, new.aA
    far = 0.0
    j = first
    left = here = (X[j], u[j], aA[j], D[j], dd_X[j], dd_u[j])
    for j in range(first, last + 1):
        n = min(j + 1, last)
        right = (X[n], u[n], aA[n], D[n], dd_X[n], dd_u[n])
        nodes, estimate = (left, here, right), (X_2[j], u_2[j], aA_2[j])
        k_1, B_1, s_1 = trace(1.0, nodes, estimate, numbers, gas, step)
        k_2, B_2, s_2 = trace(-1.0, nodes, estimate, numbers, gas, step)
        left, here = here, right
        if j == first:
            work.end[2 * pipe, 0], work.end[2 * pipe, 1] = k_2, B_2
            s_1 = 0.0
        elif j == last:
            work.end[2 * pipe + 1, 0], work.end[2 * pipe + 1, 1] = k_1, B_1
            s_2 = 0.0
        else:
            X_2[j] = (B_1 + B_2) / (k_1 + k_2)
            u_2[j] = (B_1 - k_1 * X_2[j]) / h
        far = max(far, s_1, s_2)
    return far
