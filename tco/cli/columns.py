"""`tco columns`."""

from __future__ import annotations

import click

from tco.cli.output import Found, Output, formats


@click.command()
@formats
def columns(output: Output) -> None:
    """Print what every column of a study means.

    With its unit, what an empty cell means, and an example. With csv: a row for
    each column.

    \b
    Example:  tco columns
              tco columns --format csv
    """
    from tco.model import line_inputs
    from tco.read.columns import HEADER, INTRODUCTION, about, documented
    from tco.write.columns_text import columns_text
    from tco.write.tables import Table

    rows = documented(line_inputs())
    output.show(
        Found(
            lambda: columns_text(INTRODUCTION, [row.cells for row in rows], about),
            lambda: Table("", HEADER, [row.cells for row in rows]),
        )
    )
