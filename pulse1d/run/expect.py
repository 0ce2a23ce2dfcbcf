"""A case's own expectations, held against a prediction made under the case's own conditions."""

from __future__ import annotations

from pulse1d import units
from pulse1d.run.bench import BenchResult


def failures(result: BenchResult) -> list[str]:
    """Expected figures that the prediction does not give.

    Nothing is held against a run whose conditions differ from the case's.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    lines : list of str   One a failed figure [-]
    """
    case = result.design.case
    if result.together or result.lift is not None or result.setup.bench != case.bench:
        return []
    answers = {port.answer.port: port.answer for port in result.ports}
    lines = []
    for expected in case.expect:
        answer = answers.get(expected.port)
        if answer is None:
            continue
        flow = abs(answer.mdot) / result.setup.rho_ref
        off = flow / expected.flow - 1.0
        if abs(off) > expected.within:
            lines.append(
                f"{result.design.path}: port {expected.port} gives "
                f"{units.to(flow, 'CFM', 'volume flow'):.1f} CFM, {100 * off:+.1f} % from the "
                f"{units.to(expected.flow, 'CFM', 'volume flow'):.1f} CFM expected "
                f"(within {100 * expected.within:g} %: {expected.reason})"
            )
    return lines
