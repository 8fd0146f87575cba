"""`tco spend`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@click.option(
    "--scenario", default="", metavar="NAME", help="For which; else the only one with purchases, or the baseline."
)
@click.option("--for", "goal", default="", metavar="MEASURE", help="What is to improve; else missed needs, or room.")
@click.option("--budget", metavar="AMOUNT", help='Look for the best set within it, such as "800 EUR".')
@options.out
@options.replace
@formats
def spend(
    output: Output,
    study: Path | None,
    scenario: str,
    goal: str,
    budget: str | None,
    out: Path | None,
    replace: bool,
) -> None:
    """Say what to buy next with a limited budget.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. What may be
    bought stands in its purchases.csv. Prints what each purchase changes and what
    it gives for its money: room, speed, resilience, noise, watts or cost, or the
    needs that are missed; with --budget the best set of purchases within it.
    Writes spend.xlsx (with the comparison of before and after) and spend.csv.

    \b
    Example:  tco spend demo --scenario "quiet minis" --budget "800 EUR"
              tco spend demo --for noise
    """
    from tco.ask.spend import Asked, answered
    from tco.read import asked as typed
    from tco.write.chance_words import TYPED
    from tco.write.spend import write_spent
    from tco.write.spend_csv import spend_table
    from tco.write.spend_text import spent_text
    from tco.write.spend_words import answers, notes

    with output.work(5) as work:
        found = options.read(work, study)
        most = None if budget is None else typed.budget(budget, found)
        own = work.step("working out the scenario", lambda: Asked(found, scenario, goal))
        singles = work.step(
            "trying each purchase", own.singles, lambda made: f" ({options.counted(len(made), 'purchase')})"
        )
        spent = work.step("looking for the best", lambda: answered(own, most, singles))
        files = work.write(lambda folder: write_spent(spent, folder, replace=replace), output.folder(out))
    output.show(
        Found(
            lambda: spent_text(spent, files),
            lambda: spend_table(spent),
            lambda: answers(spent, TYPED),
            lambda: notes(spent),
            found.settings.question,
        )
    )
