"""Files of this program by their format, and plain words where one stands in another's place."""

from __future__ import annotations

from collections.abc import Iterable

from pulse1d.case.document import Document
from pulse1d.case.schema import CALIBRATION_FORMAT, FORMAT
from pulse1d.errors import InputError

CASE, CALIBRATION, HEAD = FORMAT, CALIBRATION_FORMAT, "pulse1d head 1"
READINGS, STUDY = "pulse1d readings 1", "pulse1d study 1"
KINDS = {
    CASE: ("case file", "`pulse1d check` and `bench` read cases"),
    HEAD: ("head file", "a case names its head with `head: FILE`"),
    CALIBRATION: ("calibration", "a case names it with `calibration: FILE`"),
    READINGS: ("file of bench readings", "`pulse1d reduce` reads readings"),
    STUDY: ("study", "`pulse1d sweep` and `search` read studies"),
}
"""By format: what a file is, and what to do with it."""


def refuse_other(
    document: Document, wanted: str, what: str, remedy: str, own: Iterable[str] = ()
) -> None:
    """Refuse a file that is another kind than the one wanted, before its keys are looked at.

    Parameters
    ----------
    document : Document   What was read [-]
    wanted : str   Format that it should state [-]
    what : str   The kind that is wanted, such as "a case" [-]
    remedy : str   What to name instead [-]
    own : iterable of str   Keys that only the wanted kind has: with one of them the format alone is
        wrong, and the spec says so [-]
    Errors      InputError that says what the file is.
    """
    stated = str(document.data.get("format"))
    if stated == wanted or stated not in KINDS or set(own) & set(document.data):
        return
    kind, further = KINDS[stated]
    message = f"this is a {kind}, not {what}"
    raise InputError([document.problem(("format",), message, f"{remedy}; {further}")])
