"""`tco simulate`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@click.option("--draws", type=int, default=10_000, show_default=True, help="How often to draw.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed gives the same figures.")
@options.out
@options.replace
@formats
def simulate(output: Output, study: Path | None, draws: int, seed: int, out: Path | None, replace: bool) -> None:
    """Say how sure the costs of a study are, by chance.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. Draws many
    times which units fail and when, and what the inputs named in ranges.csv turn
    out to be; all scenarios share a draw's luck. Prints how far costs may lie
    apart and how often each scenario is the cheapest; writes simulate.xlsx,
    simulate.csv, simulate_years.csv and simulate_inputs.csv. With csv the table
    is that of simulate.csv.

    \b
    Example:  tco simulate demo
              tco simulate my-study --draws 100000 --out my-results
    """
    from tco.ask.simulate import simulate as drawn
    from tco.write.chance import write_simulated
    from tco.write.chance_csv import simulate_table
    from tco.write.chance_text import simulated_text
    from tco.write.chance_words import TYPED, answers, notes

    with output.work(2) as work:
        comparison = options.compared(work, study)
    with output.work(0) as work:  # drawing has a bar of its own
        with output.bar(draws, "drawing") as bar:
            found = work.step(f"drawing {draws:,} times", lambda: drawn(comparison, draws, seed, bar.update))
        files = work.write(lambda folder: write_simulated(found, folder, replace=replace), output.folder(out))
    output.show(
        Found(
            lambda: simulated_text(found, files),
            lambda: simulate_table(found),
            lambda: answers(found, TYPED),
            lambda: notes(found, TYPED),
            comparison.study.settings.question,
        )
    )
