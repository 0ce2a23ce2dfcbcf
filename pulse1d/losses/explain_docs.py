"""What docstrings and specs say of themselves, read for ``explain``."""

from __future__ import annotations

import ast
import inspect
import re
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from itertools import pairwise
from typing import Annotated, Any, Literal, get_args, get_origin

from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import Spec

SECTIONS = ("Parameters", "Returns", "Errors", "Limits", "Source")
FORMULA = re.compile(r"(^|[ (])[A-Za-z_][\w']*(\([^)]*\))? = ")


@dataclass(frozen=True)
class Formula:
    """A law as its function states it."""

    name: str
    what: str
    formula: str
    takes: str
    gives: str
    limits: str
    source: str


@dataclass(frozen=True)
class Key:
    """A key of a piece in a case file."""

    key: str
    takes: str
    """A dimension, the words to choose from, or what else."""
    what: str
    default: str
    """As a case would write it; empty where it is needed or means "none"."""
    needed: bool


def formula_of(function: Callable[..., Any]) -> Formula:
    """A function's docstring, taken apart.

    Parameters
    ----------
    function : function   Its docstring has the sections that all of this package have [-]
    Returns
    -------
    formula : Formula   [-]
    """
    text = (inspect.getdoc(function) or "").replace("``", "`")
    parts = {name: " ".join(_section(text, name).split()) for name in SECTIONS}
    head = re.split(r"\nParameters\n", text)[0]
    blocks = [" ".join(block.split()) for block in head.split("\n\n")]
    stated = [block for block in blocks[1:] if FORMULA.search(block)]
    what = " ".join([blocks[0], *[block for block in blocks[1:] if block not in stated]])
    return Formula(
        function.__name__, what, "; ".join(stated), _listed(_section(text, "Parameters")),
        _listed(_section(text, "Returns")), parts["Limits"], parts["Source"],
    )  # fmt: skip


def laws_of(piece: type[PieceBase]) -> tuple[Callable[..., Any], ...]:
    """Functions with a formula or a source that a piece's module defines, or takes from others.

    Parameters
    ----------
    piece : class   Of the catalogue [-]
    Returns
    -------
    functions : tuple   Its own first; of others those that give a coefficient [-]
    """
    module = inspect.getmodule(piece)
    own: list[Any] = []
    others: list[Any] = []
    for name, thing in vars(module).items():
        where = getattr(thing, "__module__", "")
        if name.startswith("_") or not inspect.isroutine(getattr(thing, "py_func", thing)):
            continue
        if not where.startswith("pulse1d.losses") or "Source" not in (thing.__doc__ or ""):
            continue
        coefficient = re.match(r"(K|f|C|Cc|Cd|CdA)_", name)
        if where == vars(module)["__name__"]:
            own += [thing] if coefficient or formula_of(thing).formula else []
        elif coefficient:
            others.append(thing)
    further = [named(law) for law in getattr(piece, "told", Told()).laws]
    return tuple(dict.fromkeys((*own, *others, *further)))


def named(law: str) -> Callable[..., Any]:
    """A function of this package by its name.

    Parameters
    ----------
    law : str   Such as "friction.f_churchill" [-]
    Returns
    -------
    function : function   [-]
    """
    module, _, name = law.partition(".")
    found: Callable[..., Any] = getattr(import_module(f"pulse1d.losses.{module}"), name)
    return found


def keys_of(piece: type[PieceBase]) -> tuple[Key, ...]:
    """Keys of a piece, with what stands below each in its spec.

    Parameters
    ----------
    piece : class   Of the catalogue [-]
    Returns
    -------
    keys : tuple of Key   Without kind and name, which all have [-]
    """
    told = field_docs(piece)
    found = []
    for name, info in piece.model_fields.items():
        if name in ("kind", "name"):
            continue
        found.append(
            Key(
                info.alias or name,
                takes_of(info),
                re.sub(r"\bNone: ", "left out: ", told.get(name, "")),
                "" if info.is_required() else shown(info.default, info.metadata),
                info.is_required(),
            )
        )
    return tuple(found)


def field_docs(spec: type[Any]) -> dict[str, str]:
    """The strings below a spec's fields, its bases' included.

    Parameters
    ----------
    spec : class   [-]
    Returns
    -------
    docs : dict   By field name [-]
    """
    found: dict[str, str] = {}
    for base in reversed(spec.__mro__):
        if not issubclass(base, Spec):
            continue
        body = ast.parse(textwrap.dedent(inspect.getsource(base))).body[0]
        assert isinstance(body, ast.ClassDef)
        for field, below in pairwise(body.body):
            if isinstance(field, ast.AnnAssign) and isinstance(below, ast.Expr):
                name, text = ast.unparse(field.target), ast.literal_eval(below.value)
                found[name] = " ".join(str(text).replace("``", "`").split())
    return found


def constant_doc(module: Any, name: str) -> str:
    """The string below a constant of a module.

    Parameters
    ----------
    module : module   [-]
    name : str   [-]
    Returns
    -------
    text : str   Empty where there is none [-]
    """
    body = ast.parse(inspect.getsource(module)).body
    for line, below in pairwise(body):
        if isinstance(line, ast.Assign) and ast.unparse(line.targets[0]) == name:
            return str(ast.literal_eval(below.value)) if isinstance(below, ast.Expr) else ""
    return ""


def shown(value: Any, metadata: Any) -> str:
    """A default as a case would write it.

    Parameters
    ----------
    value : any   [SI]
    metadata : sequence   Of the field, which tells its dimension [-]
    Returns
    -------
    text : str   Empty for none [-]
    """
    from pulse1d import units

    if value is None or value == ():
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    dimension = dimension_of(metadata)
    if isinstance(value, float) and dimension not in ("", "ratio"):
        unit = {"length": "mm", "temperature": "K", "angle": "deg"}.get(dimension, "")
        if dimension == "absolute pressure":
            return f"{value / 1e3:g} kPa abs"
        return f"{units.to(value, unit, dimension):g} {unit}" if unit else f"{value:g}"
    if isinstance(value, tuple):
        return f"[{', '.join(f'{1e3 * v:g} mm' for v in value)}]"
    return f"{value:g}" if isinstance(value, float) else str(value)


def takes_of(info: Any) -> str:
    """What a key takes, in a word or two.

    Parameters
    ----------
    info : FieldInfo   [-]
    Returns
    -------
    text : str   [-]
    """
    kinds = [info.annotation, *get_args(info.annotation)]
    inner = [get_args(kind)[1:] for kind in kinds if get_origin(kind) is Annotated]
    for metadata in (info.metadata, *inner):
        if dimension := dimension_of(metadata):
            return dimension
    words = [word for kind in kinds if get_origin(kind) is Literal for word in get_args(kind)]
    if words:
        return " or ".join(map(str, words))
    text = str(info.annotation)
    known = {
        "bool": "true or false",
        "Round": "a section",
        "tuple[": "a list",
        "Surface": "a surface",
    }
    plain = next((said for part, said in known.items() if part in text), "")
    names = [kind.__name__ for kind in kinds if isinstance(kind, type) and kind is not type(None)]
    return plain or (_spaced(names[0]) if names else "keys of its own")


def _spaced(name: str) -> str:
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()


def dimension_of(metadata: Any) -> str:
    """The dimension that a field of a spec reads.

    Parameters
    ----------
    metadata : sequence   Of the field [-]
    Returns
    -------
    dimension : str   Empty for what is no quantity [-]
    """
    for item in metadata or ():
        schema = getattr(item, "json_schema", None)
        if schema and " with its unit" in schema.get("description", ""):
            return str(schema["description"].split(" with its unit")[0])
    return ""


def _section(text: str, name: str) -> str:
    """A section of a docstring; some stand under a rule, some beside their name."""
    ends = "|".join(SECTIONS)
    pattern = rf"^{name}(?:\n-+\n|[ ]+)(.*?)(?=^(?:{ends})(?:\n-+|[ ])|\Z)"
    found = re.search(pattern, text, flags=re.S | re.M)
    return found[1].rstrip() if found else ""


def _listed(section: str) -> str:
    """Names of a section with what is said of each; types are left out."""
    found: list[str] = []
    for line in section.splitlines():
        if entry := re.match(r"(\S[^:]*) : (.*?)(?:   +(.*))?$", line):
            found.append(f"{entry[1]}: {entry[3] or entry[2]}")
        elif found:
            found[-1] += f" {line.strip()}"
    return "; ".join(one.rstrip(".") for one in found)
