"""Does the head's flow table reach as far as the engine opens its valve? Checked on the plain data,
so that a slip elsewhere in the file does not hide a slip here."""

from __future__ import annotations

from pulse1d.case.alone import alone
from pulse1d.case.document import Document, Place
from pulse1d.engine.spec import ExhaustTrain
from pulse1d.errors import Problem
from pulse1d.losses.valve_seat import ValveSeat


def lift_problems(document: Document) -> list[Problem]:
    """An exhaust lift that lies beyond what the head says that its valve passes.

    A head or a valve train that cannot be read by itself is passed over; the schema reports it.

    Parameters
    ----------
    document : Document   A whole case, its head merged in [-]
    Returns
    -------
    problems : list of Problem   None, or the one of the greatest lift [-]
    """
    flow = alone(ValveSeat, document.data, "head", "flow")
    train = alone(ExhaustTrain, document.data, "engine", "exhaust")
    if flow is None or train is None:
        return []
    lift, place = _greatest(train)
    try:
        flow.effective_areas(lift)
    except ValueError as error:
        message = str(error).partition("; ")[0]
        text = f"the exhaust valve opens further than the head was flowed: {message}"
        remedy = "flow the head up to that lift, or correct the lift"
        return [document.problem(("engine", "exhaust", *place), text, remedy)]
    return []


def _greatest(train: ExhaustTrain) -> tuple[float, Place]:
    """Greatest lift of a valve, and the key that states it."""
    rows = [row.lift for row in train.curve]
    if not rows:
        return train.lift, ("lift",)
    return max(rows), ("curve", rows.index(max(rows)), "lift")
