"""Reading of options that carry a unit."""

from __future__ import annotations

from pathlib import Path

from pulse1d.errors import InputError, Problem, UnitError


def quantity_option(name: str, text: str | None, dimension: str) -> float | None:
    """SI value of an option such as ``--depression "28 inH2O"``.

    Parameters
    ----------
    name : str   The option, for the message [-]
    text : str or None   What the user typed [-]
    dimension : str   A key of ``pulse1d.units.SI`` [-]
    Returns
    -------
    value : float or None   None when the option was not given [SI]
    Errors      InputError when the text is not such a quantity or not above 0.
    """
    if text is None:
        return None
    from pulse1d import units

    try:
        value = units.parse(text, dimension)
    except UnitError as error:
        raise InputError([Problem(f"{name}: {error}")]) from error
    if not value > 0.0:
        raise InputError([Problem(f"{name}: {text!r} must be above 0")])
    return value


def quantities_option(name: str, text: str | None, dimension: str) -> list[float]:
    """SI values of an option that lists quantities, such as ``--lift "3 mm, 9 mm"``.

    Parameters
    ----------
    name : str   The option, for the message [-]
    text : str or None   What the user typed [-]
    dimension : str   A key of ``pulse1d.units.SI`` [-]
    Returns
    -------
    values : list of float   Empty when the option was not given [SI]
    Errors      InputError when a text is not such a quantity or not above 0.
    """
    values = [quantity_option(name, part, dimension) for part in names_option(text) or ()]
    return [value for value in values if value is not None]


def not_there(path: Path) -> None:
    """Refuse to run where a file to be written exists already.

    Parameters
    ----------
    path : Path   File that an option names [-]
    Errors      InputError when it exists.
    """
    if path.exists():
        raise InputError([Problem("the file exists already", "choose another name", str(path))])


def names_option(text: str | None) -> list[str] | None:
    """Names from a comma-separated option.

    Parameters
    ----------
    text : str or None   Such as "1,3" [-]
    Returns
    -------
    names : list of str or None   None when the option was not given [-]
    """
    if text is None:
        return None
    return [name.strip() for name in text.split(",") if name.strip()]
