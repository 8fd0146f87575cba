"""`tco check`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@formats
def check(output: Output, study: Path | None) -> None:
    """Hold the scenarios of a study against good practice.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. Prints
    findings with why each matters and on whose word: a published source or common
    practice. A finding blocks nothing and changes no figure. What could not be
    looked at, because an input is missing, is told at the end. With csv the table
    is that of checks.csv.

    \b
    Example:  tco check demo
              tco check my-study
    """
    from tco.write.findings_text import counts, findings_text
    from tco.write.tables import checks

    with output.work(2) as work:
        comparison = options.compared(work, study)
    output.show(
        Found(
            lambda: findings_text(comparison),
            lambda: checks(comparison),
            lambda: counts(comparison),
            question=comparison.study.settings.question,
        )
    )
