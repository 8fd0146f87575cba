"""`tco compare`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@options.out
@options.replace
@click.option("--against", default="", metavar="SCENARIO", help="Measure against this one, not the study's baseline.")
@click.option("--html", is_flag=True, help="Write comparison.html as well: a page to send, for a phone.")
@formats
def compare(output: Output, study: Path | None, out: Path | None, replace: bool, against: str, html: bool) -> None:
    """Compare the scenarios of a study by their cost over the years.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. Prints the
    answer and writes comparison.xlsx, lines.csv, measures.csv, bills.csv,
    checks.csv and replacements.csv; with --html also comparison.html, the answer
    as one page that needs no network. With csv the table is that of measures.csv.

    \b
    Example:  tco compare
              tco compare my-study --out my-results --html
              tco compare demo --against "quiet minis"
              tco compare --format csv
    """
    import tco
    from tco.ask.remarks import remarks
    from tco.write.tables import measures
    from tco.write.terminal import comparison_text
    from tco.write.told import told

    with output.work(3) as work:
        comparison = options.compared(work, study, against)
        folder = output.folder(out, wanted=html)
        files = work.write(lambda folder: tco.save(comparison, folder, replace=replace, html=html), folder)
    output.show(
        Found(
            lambda: comparison_text(comparison, files),
            lambda: measures(comparison),
            lambda: told(comparison).answer,
            lambda: remarks(comparison),
            comparison.study.settings.question,
        )
    )
