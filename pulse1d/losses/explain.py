"""Every piece, joint and law by its name or by a word of the trade."""

from __future__ import annotations

from difflib import get_close_matches
from functools import lru_cache
from importlib import import_module

from pulse1d.errors import InputError, Problem
from pulse1d.losses.catalogue import PIECES
from pulse1d.losses.explain_docs import constant_doc, formula_of, laws_of, named
from pulse1d.losses.explain_piece import explain_piece, stated_limits, summary, told_of
from pulse1d.losses.explain_words import behind, causes, no_law
from pulse1d.losses.explained import Explained, cited
from pulse1d.losses.law_catalogue import LAWS, LawEntry
from pulse1d.losses.surface import Surface, surface_names


def names() -> dict[str, str]:
    """Everything that can be explained, with a line on what it is.

    Returns
    -------
    names : dict   Name to the first sentence about it; pieces first [-]
    """
    found = {str(p.model_fields["kind"].default): _first(summary(p)) for p in PIECES}
    return found | {law.name: _first(_says(law)) for law in LAWS}


@lru_cache(maxsize=1)
def words() -> dict[str, str]:
    """Names, trade words and doubts, each with the name that it means.

    Returns
    -------
    words : dict   In small letters [-]
    """
    found: dict[str, str] = dict(causes())
    for law in LAWS:
        meant = [*law.also, *(surface_names() if law.name == "roughness" else ())]
        functions = [name.rpartition(".")[2] for name in law.functions]
        found |= {word.casefold(): law.name for word in (*meant, *functions)}
    for piece in PIECES:
        kind = str(piece.model_fields["kind"].default)
        found |= {word.casefold(): kind for word in told_of(piece).also}
        for function in laws_of(piece):
            found.setdefault(function.__name__.casefold(), kind)
    return found | {name: name for name in names()}


def explain(text: str) -> Explained:
    """What is known of an element or a law.

    Parameters
    ----------
    text : str   Its name, a word of the trade for it, or what budgets and shares of variance call
        it; plurals and hyphens are taken too [-]
    Returns
    -------
    explained : Explained   [-]
    Errors      InputError for a name that is not known; it says the nearest ones.
    Source      each part names its own
    """
    known = words()
    asked = " ".join(text.replace("_", " ").replace("-", " ").split()).casefold()
    name = known.get(text.casefold(), "") or behind(asked, known)
    if not name:
        if (other := no_law(asked)) is not None:
            raise InputError([other])
        near = dict.fromkeys(known[w] for w in get_close_matches(asked, known, n=4, cutoff=0.6))
        hint = f"did you mean {' or '.join(near)}? " if near else ""
        own = "" if near else "; of a name of your own `pulse1d check CASE` shows the piece"
        remedy = f"{hint}`pulse1d explain` lists them all{own}"
        raise InputError([Problem(f"nothing is called {text!r} here", remedy)])
    for piece in PIECES:
        if piece.model_fields["kind"].default == name:
            return explain_piece(piece)
    return explain_law(next(law for law in LAWS if law.name == name))


def explain_law(law: LawEntry) -> Explained:
    """What is known of a law that is no piece.

    Parameters
    ----------
    law : LawEntry   [-]
    Returns
    -------
    explained : Explained   [-]
    """
    formulas = tuple(formula_of(named(function)) for function in law.functions)
    sources = [formula.source for formula in formulas]
    if law.name == "roughness":
        sources += [Surface(name=name).source for name in surface_names()]
    if law.name == "exit":
        sources.append("exact")
    return Explained(
        name=law.name,
        kind=law.kind,
        what=_says(law),
        also=law.also,
        example=law.example,
        keys=(),
        formulas=formulas,
        stations=law.stations,
        band=(),
        validity=tuple(stated_limits(formulas)),
        sources=cited(sources),
        tables=law.tables(),
    )


def _says(law: LawEntry) -> str:
    """The docstring that opens a law's explanation."""
    home, _, name = law.opening.partition(".")
    module = import_module(f"pulse1d.losses.{home}")
    if not name:
        text = module.__doc__
    elif callable(getattr(module, name)):
        text = formula_of(named(law.opening)).what
    else:
        text = constant_doc(module, name)
    return " ".join((text or "").replace("``", "`").split())


def _first(text: str) -> str:
    return text.split(". ")[0].removesuffix(".") + "."
