"""A page of ``pulse1d report`` read back: its elements, and its text without markup."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

from typer.testing import CliRunner, Result

from pulse1d.cli.main import app

VOID = {"meta", "br", "img", "link", "input", "hr"}


def invoke(verb: str, *arguments: object) -> Result:
    """A verb with its arguments, as a user calls it."""
    return CliRunner().invoke(app, [verb, *map(str, arguments)])


@dataclass
class Element:
    """A tag with its attributes and what stands directly in it."""

    tag: str
    attributes: dict[str, str]
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def all(self, tag: str) -> list[Element]:
        """Every element of a tag below this one."""
        own = [self] if self.tag == tag else []
        return own + [found for child in self.children for found in child.all(tag)]

    @property
    def words(self) -> str:
        """Text of this and all below."""
        return " ".join([self.text, *(child.words for child in self.children)]).strip()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(found)
        if tag not in VOID:
            self.open.append(found)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].children.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].text += data


def read(path: Path) -> Element:
    """The page's elements; every tag must be closed where it was opened."""
    reader = _Reader()
    reader.feed(path.read_text(encoding="utf-8"))
    assert len(reader.open) == 1, [one.tag for one in reader.open]
    return reader.root
