"""The page put together: words from the summary, figures from the measures, drawn by its template."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from tco.ask.compare import Comparison
from tco.ask.remarks import remarks
from tco.write.cautions import CAUTIONS
from tco.write.page_to_send import facts as made
from tco.write.page_to_send.charts_of import Picture, by_line, so_far
from tco.write.page_to_send.facts import Facts
from tco.write.page_to_send.shown import Figure
from tco.write.page_to_send.sources import MOST, Source, sources
from tco.write.page_to_send.tables import Table
from tco.write.summary import about
from tco.write.told import Told, words

REMARKS = 6  # told on the page; the workbook has all


@dataclass(frozen=True)
class Letter:
    """All that the page says."""

    question: str
    about: str
    told: Told
    by_line: Picture
    so_far: Picture
    figures: Table
    needs: Table | None
    delivers: Table | None
    failing: Table
    worst: tuple[tuple[str, tuple[tuple[str, Figure], ...]], ...]
    loud: Table
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[Source, ...]
    more: int
    money: str
    titles: tuple[tuple[str, str], ...]


def page(comparison: Comparison) -> str:
    """The page as HTML; the same for the same comparison."""
    surroundings = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return surroundings.get_template("page.html").render(page=letter(comparison))


def letter(comparison: Comparison) -> Letter:
    """All that the page says about a comparison."""
    facts = Facts(comparison)
    known = sources(facts.draft)
    return Letter(
        question=comparison.study.settings.question,
        about=about(comparison),
        told=words(facts.draft, facts.board),
        by_line=by_line(facts),
        so_far=so_far(facts),
        figures=made.side_by_side(facts),
        needs=made.needed(facts),
        delivers=made.delivered(facts),
        failing=made.failing(facts),
        worst=tuple(made.worst(facts)),
        loud=made.loud(facts),
        remarks=tuple(remarks(comparison)[:REMARKS]),
        cautions=CAUTIONS,
        sources=tuple(known[:MOST]),
        more=max(0, len(known) - MOST),
        money=facts.draft.money,
        titles=tuple((ground.scenario.scenario, ground.scenario.title) for ground in facts.grounds),
    )
