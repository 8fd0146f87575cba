"""`tco track`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study
@click.option("--until", metavar="MONTH", help="The last month that is known, where nothing happened at its end.")
@options.today
@options.out
@options.replace
@formats
def track(output: Output, study: Path, until: str | None, today: str | None, out: Path | None, replace: bool) -> None:
    """Hold what happened against the plan, and look ahead from there.

    The study's ledger.csv says what was bought, paid, metered, failed and sold.
    It takes the place of the plan for its months; the rest is worked out anew
    from what is there now. Prints what differs line by line, what the end looks
    like, and whether going on, extending or replacing costs least from today;
    writes track.xlsx and track.csv.

    \b
    Example:  tco track kept
              tco track my-study --until 2027-06
    """
    import tco
    from tco.ask.from_today import ways
    from tco.read import asked
    from tco.write.chance_words import TYPED
    from tco.write.track import write_tracked
    from tco.write.track_csv import track_table
    from tco.write.track_text import track_text
    from tco.write.track_words import answers, notes

    last, day = asked.month(until) if until else None, asked.day(today) if today else None
    with output.work(4) as work:
        read = options.read(work, study)
        found = work.step("holding the ledger against the plan", lambda: tco.track(read, until=last, today=day))
        ahead = work.step("looking ahead", lambda: ways(found))
        files = work.write(lambda folder: write_tracked(found, ahead, folder, replace=replace), output.folder(out))
    output.show(
        Found(
            lambda: track_text(found, ahead, files),
            lambda: track_table(found, ahead),
            lambda: answers(found, ahead, TYPED),
            lambda: notes(found, ahead),
            read.settings.question,
        )
    )
