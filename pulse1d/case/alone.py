"""Parts of a file read by themselves, so that a slip elsewhere does not hide a slip here."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter, ValidationError

from pulse1d.spec import FROM_TEXT


def alone(model: Any, data: Any, *place: Any) -> Any:
    """One part of plain data as its spec.

    Parameters
    ----------
    model : type   Spec of the part [-]
    data : Any   Plain data [-]
    place : str   Keys that lead to the part; none: the data itself [-]
    Returns
    -------
    spec : model or None   None for what is not there or cannot be read, which the schema reports
        [-]
    """
    for key in place:
        data = data.get(key) if isinstance(data, dict) else None
    try:
        return TypeAdapter(model).validate_python(data, context=FROM_TEXT)
    except ValidationError:
        return None
