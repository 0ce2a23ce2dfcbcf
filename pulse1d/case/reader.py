"""Case files as plain data with line numbers: strict YAML 1.2, every mistake named in one pass.

The file is read event by event and built without recursion, so a file made to exhaust memory,
stack or time meets a limit first. Scalars follow the YAML 1.2 core schema: ``yes`` and ``off`` are
text, ``38 mm`` is text, ``38`` and ``1e-3`` are numbers; ``.inf`` and ``.nan`` stay text, since no
quantity of a case is either. Keys are text, so a port may be written ``1:``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pulse1d.case.document import (
    FORBIDDEN,
    MAX_PROBLEMS,
    Document,
    Mark,
    Place,
    line_at,
    problem_at,
    shown,
)
from pulse1d.case.files import MAX_BYTES, contained, inside, read_text
from pulse1d.case.problems import problems_from, validate
from pulse1d.errors import InputError, Problem

__all__ = ["MAX_BYTES", "Document", "inside", "problems_from", "read_text", "read_yaml", "validate"]

MAX_DEPTH = 40
"""Deepest nesting: a case needs about 8 levels, and a reader loses track long before 40."""
MAX_NODES = 20_000
"""Most keys and values: a hundred-piece case has about a thousand; 20 000 take a second to read."""
MAX_DIGITS = 40
"""Longest plain number [characters]: a double carries 17 digits, sign and exponent."""
_CORE = "tag:yaml.org,2002:"
_NULL = frozenset(("", "~", "null", "Null", "NULL"))
_BOOL = dict.fromkeys(("true", "True", "TRUE"), True) | dict.fromkeys(
    ("false", "False", "FALSE"), False
)
_INT = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_SKIP = object()
"""Stands for a key whose value is read and thrown away."""


def read_yaml(path: Path, root: Path | None = None, *, defer: bool = False) -> Document:
    """A YAML file as plain data that remembers its lines.

    Parameters
    ----------
    path : Path   The file [-]
    root : Path or None   Folder tree that must hold it, links followed; None for anywhere [-]
    defer : bool   Leave repeated keys, tags and the like in ``Document.problems``, so that
        ``validate`` reports them together with what is wrong in the values [-]
    Returns
    -------
    document : Document   Data, marks and text [-]
    Errors      InputError with file, line, text and remedy for everything found: unreadable file
                (see ``read_text``), broken or cut-off YAML, top level not a mapping, repeated key
                (both lines), tag, alias, second document, a limit exceeded.
    Limits      MAX_BYTES, MAX_DEPTH, MAX_NODES
    Source      YAML 1.2.2, section 10.3 (core schema)
    """
    path = Path(path)
    if root is not None and not contained(root, path):
        remedy = "move it into the folder of the case"
        raise InputError(
            [Problem("the file lies outside its folder tree", remedy, shown(path), None, path.name)]
        )
    text = read_text(path)
    builder = _Builder(path, text)
    data = builder.build()
    if builder.problems and not defer:
        raise InputError(builder.problems)
    return Document(path, text, data, builder.marks, {path: text}, tuple(builder.problems))


@dataclass
class _Frame:
    """A mapping or list that is being filled; ``place`` is None inside skipped values."""

    place: Place | None
    value: dict[str, Any] | list[Any]
    key: Any = None
    lines: dict[str, int] = field(default_factory=dict)


class _Builder:
    """Builds plain data from parser events, keeping marks and problems."""

    def __init__(self, path: Path, text: str) -> None:
        self.path, self.text = path, text
        self.marks: dict[Place, Mark] = {}
        self.problems: list[Problem] = []
        self.stack: list[_Frame] = []
        self.root: Any = _SKIP
        self.aliased = False

    def build(self) -> dict[str, Any]:
        nodes = documents = 0
        for kind, event, line in self._events():
            documents += kind == "DocumentStart"
            if documents > 1:
                raise self._stop(line, "a second document starts here", "keep one case a file")
            if kind in ("MappingEnd", "SequenceEnd"):
                self.stack.pop()
            elif kind in ("Scalar", "Alias", "MappingStart", "SequenceStart"):
                nodes += 1
                if nodes > MAX_NODES:
                    message = f"more than {MAX_NODES} keys and values"
                    raise self._stop(line, message, "check that this is the right file")
                self._node(kind, event, line)
                if len(self.problems) >= MAX_PROBLEMS:
                    message = f"{MAX_PROBLEMS} mistakes up to here"
                    raise self._stop(line, message, "mend those above first")
        if not isinstance(self.root, dict):
            raise self._not_a_mapping()
        return self.root

    def _events(self) -> Iterator[tuple[str, Any, int]]:
        from ruamel.yaml import YAML
        from ruamel.yaml.error import YAMLError

        line = 1
        try:
            for event in YAML(typ="safe", pure=True).parse(self.text):
                line = event.start_mark.line + 1
                yield type(event).__name__.removesuffix("Event"), event, line
        except YAMLError as error:
            raise self._broken(error, line) from error
        except (ValueError, OverflowError, LookupError, AttributeError) as error:
            # What the scanner lets through for escapes beyond Unicode and similar nonsense.
            raise self._stop(line, "this is not YAML", "check quotes and escapes here") from error

    def _node(self, kind: str, event: Any, line: int) -> None:
        frame = self.stack[-1] if self.stack else None
        if frame is not None and isinstance(frame.value, dict) and frame.key is None:
            self._key(frame, kind, event, line)
            return
        if kind in ("MappingStart", "SequenceStart"):
            mapping = kind == "MappingStart"
            self._check_tag(event, line, "map" if mapping else "seq")
            inner: dict[str, Any] | list[Any] = {} if mapping else []
            place = self._put(frame, inner, line)
            if len(self.stack) >= MAX_DEPTH:
                message = f"more than {MAX_DEPTH} levels inside each other"
                raise self._stop(line, message, "flatten the file; a case needs fewer than ten")
            self.stack.append(_Frame(place, inner))
        elif kind == "Scalar":
            self._put(frame, self._scalar(event, line), line)
        else:
            self._alias(line)
            self._put(frame, None, line)

    def _key(self, frame: _Frame, kind: str, event: Any, line: int) -> None:
        if kind != "Scalar" or not event.value.strip():
            remedy = "write the key as a plain word before the colon"
            raise self._stop(line, "a key must be a word or number", remedy)
        self._check_tag(event, line, "str")
        key = self._clean(event.value, line)
        if key not in frame.lines:
            frame.key, frame.lines[key] = key, line
            return
        frame.key = _SKIP
        first = frame.lines[key]
        message = f"key {key!r} stands twice, first on line {first}"
        self._note(line, message, f"keep one of lines {first} and {line}")

    def _put(self, frame: _Frame | None, value: Any, line: int) -> Place | None:
        """Store a value where it belongs; its place, or None when it is thrown away."""
        place: Place | None = ()
        if frame is None:
            self.root = value
        elif isinstance(frame.value, list):
            place = None if frame.place is None else (*frame.place, len(frame.value))
            frame.value.append(value)
        else:
            key, frame.key = frame.key, None
            if key is _SKIP:
                return None
            place = None if frame.place is None else (*frame.place, key)
            frame.value[key] = value
            line = frame.lines[key]
        if place is not None:
            self.marks[place] = (self.path, line)
        return place

    def _alias(self, line: int) -> None:
        if not self.aliased:
            message = "an alias (*) repeats another part of the file"
            self._note(line, message, "write the part out here, or derive the file with 'based on'")
        self.aliased = True

    def _scalar(self, event: Any, line: int) -> Any:
        value: str = event.value
        if event.tag not in (None, "!"):
            return self._tagged(event, line)
        if event.tag == "!" or event.style not in (None, ""):
            return self._clean(value, line)
        return self._plain(value, line)

    def _tagged(self, event: Any, line: int) -> Any:
        name = self._check_tag(event, line, "str", "int", "float", "bool", "null")
        if name is None or name == "str":
            return self._clean(event.value, line)
        value = self._plain(event.value, line)
        kinds = {"bool": ("bool",), "int": ("int",), "float": ("int", "float")}
        if type(value).__name__ not in kinds.get(name, ("NoneType",)):
            self._note(line, f"{event.value!r} does not read as {name}", "leave the tag away")
        return value

    def _check_tag(self, event: Any, line: int, *allowed: str) -> str | None:
        """The short name of a core tag; None when there is no tag or it is refused."""
        if event.tag in (None, "!"):
            return None
        name = str(event.tag).removeprefix(_CORE)
        if event.tag.startswith(_CORE) and name in allowed:
            return name
        shown = event.tag.replace(_CORE, "!!")
        self._note(line, f"tag {shown!r} is not read here", "write the plain value")
        return None

    def _plain(self, value: str, line: int) -> Any:
        if value in _NULL:
            return None
        if value in _BOOL:
            return _BOOL[value]
        whole, real = _INT.fullmatch(value), _FLOAT.fullmatch(value)
        if not (whole or real):
            return self._clean(value, line)
        if len(value) > MAX_DIGITS or abs(number := _number(value, bool(whole))) == float("inf"):
            self._note(line, "the number is too long or too large", "write it shorter: 1.2e-3")
            return 0
        return number

    def _clean(self, value: str, line: int) -> str:
        """Text without the characters that only an escape can bring in."""
        found = FORBIDDEN.search(value)
        if found:
            message = f"an escape makes the control character U+{ord(found[0]):04X}"
            self._note(line, message, "use plain text")
        return FORBIDDEN.sub("?", value)

    def _note(self, line: int, message: str, remedy: str) -> None:
        sources = {self.path: self.text}
        self.problems.append(problem_at((self.path, line), sources, message, remedy))

    def _stop(self, line: int, message: str, remedy: str) -> InputError:
        self._note(line, message, remedy)
        return InputError(self.problems)

    def _not_a_mapping(self) -> InputError:
        line = self.marks.get((), (self.path, 1))[1]
        if self.root is _SKIP:
            return self._stop(line, "the file holds only comments", "write the case into it")
        message = "the top of the file is not a set of 'key: value' lines"
        return self._stop(line, message, "start each line with a key and a colon")

    def _broken(self, error: Any, line: int) -> InputError:
        """What the parser stumbled on, in words."""
        problem, context = str(getattr(error, "problem", "")), str(getattr(error, "context", ""))
        mark, start = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
        at = mark.line + 1 if mark is not None else line
        cut = mark is not None and not self.text[mark.index :].strip("\x00 \r\n")
        if cut and start is not None and (opened := _opened(context)):
            last = line_at(self.text, len(self.text.rstrip()))
            message = f"the file ends on line {last} before {opened} that opens here is closed"
            return self._stop(
                start.line + 1, message, "close it here, or restore the missing end of the file"
            )
        for sign, message, remedy in _BROKEN:
            if sign in problem or sign in context:
                at = start.line + 1 if sign == "simple key" and start is not None else at
                return self._stop(at, message, remedy)
        detail = f" ({problem})" if problem and len(problem) < 80 else ""
        return self._stop(at, f"this is not valid YAML{detail}", "check indent, colons and quotes")


def _number(value: str, whole: bool) -> int | float:
    if not whole:
        return float(value)
    base = {"0o": 8, "0x": 16}.get(value[:2], 10)
    return int(value[2:] if base != 10 else value, base)


def _opened(context: str) -> str | None:
    """What was left open at the end of the file."""
    names = {
        "quoted scalar": "a quoted text",
        "flow sequence": "a list [",
        "flow mapping": "a mapping {",
    }
    return next((name for sign, name in names.items() if sign in context), None)


_BROKEN = (
    (
        "mapping values are not allowed",
        "there is a colon where none can be",
        "line this key up with its neighbours; put text that holds ': ' in quotes",
    ),
    ("'\\t'", "a tab starts or indents this text", "indent with spaces"),
    ("simple key", "this line has no colon", "write it as 'key: value'"),
    ("quoted scalar", "something is wrong inside these quotes", "check quotes and backslashes"),
    ("flow sequence", "a list in [ ] is broken here", "close it with ] and put , between items"),
    ("flow mapping", "a mapping in { } is broken here", "close it with } and put , between keys"),
    (
        "cannot start any token",
        "this text starts with a character that YAML keeps for itself",
        "put the text in quotes",
    ),
    (
        "block collection",
        "this line does not line up with the list around it",
        "start each item with '- ', all at the same indent",
    ),
    (
        "block mapping",
        "this line does not line up with the keys around it",
        "give keys of one group the same indent; put odd text in quotes",
    ),
    ("alias", "an alias (*) is not read here", "write the part out"),
    ("tag", "a tag (!) is not read here", "write the plain value"),
    ("directive", "a directive (%) is not read here", "delete the line"),
    ("anchor", "an anchor (&) is not read here", "put the text in quotes"),
)
