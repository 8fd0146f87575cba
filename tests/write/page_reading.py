"""The page to send as a strict reader of HTML sees it."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element

SVG = "{http://www.w3.org/2000/svg}"
Cells = dict[str, dict[str, tuple[float | None, str]]]  # head of the row -> scenario -> (value, what is shown)


def read(text: str) -> Element:
    """The page as a tree; raises where anything in it is not HTML as the standard has it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the reader's own, of its imports
        import html5lib

        parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
        tree: Element = parser.parse(text)
    return tree


def words(element: Element) -> str:
    """All text of an element, with single spaces."""
    return " ".join("".join(element.itertext()).split())


def table_of(tree: Element, key: str) -> Cells:
    """The table of a name, in one piece or as it scrolls; nothing where there is none."""
    names = (f"{key}-everywhere", f"{key}-screen")
    whole = next((table for table in tree.iter("table") if caption_of(table) in names), None)
    return {} if whole is None else cells_of(whole)


def caption_of(table: Element) -> str:
    """The name of a table."""
    return table.find("caption").get("id")  # type: ignore[union-attr, return-value]


def cells_of(table: Element) -> Cells:
    """A table's figures by row and scenario."""
    head, body = table.find("thead"), table.find("tbody")
    assert head is not None
    assert body is not None
    scenarios = [words(th.find("bdi")) for th in head.iter("th")]  # type: ignore[arg-type]
    found = {}
    for row in body.iter("tr"):
        name = row.find("th/span")
        assert name is not None
        texts = [figure(td) for td in row.iter("td")]
        found[(name.text or "").strip()] = dict(zip(scenarios, texts, strict=True))
    return found


def figure(cell: Element) -> tuple[float | None, str]:
    """What a cell shows, and the number behind it."""
    data = next(cell.iter("data"), None)
    return (None if data is None else float(data.get("value") or "nan")), words(cell)


def each(tree: Element, *tags: str) -> Iterator[Any]:
    """Elements of some kinds, in the order of the page."""
    return (one for one in tree.iter() if one.tag in tags)
