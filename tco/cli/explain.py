"""`tco explain`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study
@click.argument("scenario")
@click.argument("line")
@click.argument("month", type=int, required=False)
@formats
def explain(output: Output, study: Path, scenario: str, line: str, month: int | None) -> None:
    """Show where a figure comes from, down to what was given.

    The figure is the LINE of a SCENARIO in a MONTH, or over the horizon. STUDY
    may be the word "demo". LINE is a cost line (purchase, electricity,
    replacement, fees, resale ...), "total", "energy", "power", or a measure
    (lcc, equivalent_month, net_savings ...). With csv: a row for each figure that
    takes part, the nearest first. Write -- before a name that begins with -.

    \b
    Example:  tco explain demo "quiet minis" electricity 14
    """
    from tco.ask.explain import explain as how
    from tco.write.explain_text import explanation_table, explanation_text
    from tco.write.layout import layout

    with output.work(3) as work:
        comparison = options.compared(work, study)
        stands = work.step("placing cells", lambda: layout(comparison.built))
    found = how(comparison, scenario, line, month, lambda column, row: "!".join(stands.cell(column, row)))
    output.show(
        Found(
            lambda: explanation_text(found),
            lambda: explanation_table(found),
            lambda: [found.headline],
            question=comparison.study.settings.question,
        )
    )
