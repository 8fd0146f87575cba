"""What the sheets of a simulation share: widths of columns, how shares are shown, headings, figures of a spread."""

from __future__ import annotations

from collections.abc import Sequence

from tco.ask.simulated import Simulated, Spread
from tco.write.chance_figures import ranked
from tco.write.formats import BASE, FONT, INK, THIN
from tco.write.page import EIGHT, Page, lines_of
from tco.write.terminal import short_names

LEFT, WIDE = 24, 9.6  # width of the first column, and of each other one
SHARE = '[<0.0005]"<0.1%";[>=0.9995]">99.9%";0.0%'
ERROR = "[<0.0005]0.00%;0.0%"
THICK = 5
PERCENT = '0%;"−"0%;0%'


def heading(page: Page, row: int, columns: tuple[int, int], text: str) -> None:
    """A heading with a line under it, from one column to another."""
    for column in range(columns[0], columns[1] + 1):
        page.text(row, column, "", page.formats.get("rule"))
    page.text(row, columns[0], text, page.formats.get("heading"))


def share(page: Page, row: int, column: int, value: float, *, last: bool = False) -> None:
    """A chance; what is none or certain in words."""
    if 0 < value < 1:
        page.number(row, column, value, page.formats.get("number", SHARE, last=last))
    else:
        page.text(row, column, "never" if value <= 0 else "always", page.formats.get("text", last=last))


def over(page: Page, row: int, column: int, span: int, text: str) -> None:
    """A heading over columns that belong together, set apart from its neighbours."""
    apart = {"align": "center", "bottom": THIN, "left": THICK, "left_color": "#FFFFFF"}
    look = {"font_name": FONT, "font_size": 9, "font_color": INK, **BASE["head"], **apart}
    page.wide(row, column, span, page.book.add_format(look), text)


def short_heads(found: Simulated) -> dict[str, str]:
    """The scenarios' names as heads of columns: cut where they are long, unless cut ones would be the same."""
    names = [own.scenario for own in ranked(found)]
    cut = [short_names([name])[0] for name in names]
    return dict(zip(names, cut if len(set(cut)) == len(names) else names, strict=True))


def head_height(page: Page, row: int, texts: Sequence[str], wide: float = WIDE) -> None:
    """A row of heads tall enough for each of them."""
    page.height(row, max(lines_of(text, wide - 1, EIGHT) for text in texts), line=11.0, least=14)


def figures(
    page: Page, place: tuple[int, int], spread: Spread, kinds: Sequence[str], look: str, *, last: bool = False
) -> int:
    """Some figures of a spread side by side, a dash where there is none; returns the column after them."""
    row, first = place
    for column, kind in enumerate(kinds, start=first):
        value = getattr(spread, kind)
        if value is None:
            page.text(row, column, "–", page.formats.get("text", last=last))
        else:
            page.number(row, column, value, page.formats.get("number", look, last=last))
    return first + len(kinds)
