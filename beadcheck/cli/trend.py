"""The subcommand that shows how a value moves over the logged welds."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

from beadcheck.cli import flags
from beadcheck.cli.failures import MEASURED
from beadcheck.cli.log_choose import ClassName, Pass, Person, Since, Until
from beadcheck.cli.log_flags import LogFlag
from beadcheck.cli.streams import put, tell
from beadcheck.cli.whole_file import write_whole
from beadcheck.errors.command import BadFlagValueError, FlagNeedsFlagError
from beadcheck.quantity import QuantityName, Side, Statistic

if TYPE_CHECKING:
    from beadcheck.log import Log, Selection, Wanted
    from beadcheck.report.wording import LengthUnit
    from beadcheck.trends import Bounds

EXAMPLES: Final = """Examples:

\b
  beadcheck measure samples/plate-gtaw-pulsed.jpg --save --person Tern
  beadcheck trend --person Tern
  beadcheck trend --person Tern --of ripple_spacing --out tern.svg
  beadcheck trend --class spring --pass cap
"""
CHART_FORMS: Final[dict[str, Literal["svg", "png"]]] = {".svg": "svg", ".png": "png"}


def trend(
    *,
    person: Person = None,
    class_name: ClassName = None,
    of: Annotated[
        QuantityName, typer.Option("--of", help="What is looked at.")
    ] = QuantityName.WELD_WIDTH,
    statistic: Annotated[
        Statistic, typer.Option(help="Which summary of each weld; sd is its unevenness.")
    ] = Statistic.SD,
    side: Annotated[Side | None, typer.Option(help="Which toe, of what has a side.")] = None,
    weld_pass: Pass = None,
    since: Since = None,
    until: Until = None,
    at_most: Annotated[
        float | None,
        typer.Option(metavar="VALUE", help="Upper limit; else that of the last measurement."),
    ] = None,
    at_least: Annotated[
        float | None,
        typer.Option(metavar="VALUE", help="Lower limit; else that of the last measurement."),
    ] = None,
    repeatability: Annotated[
        float | None,
        typer.Option(metavar="SD", help="Of measuring one weld again, from beadcheck repeat."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the chart there: .svg or .png."),
    ] = None,
    inch: flags.Inch = False,
    log: LogFlag = None,
) -> int:
    """Show how steady a person is getting: each weld's value, charts, and what changed.

    Without --person, one line for each person of the class. Of a pass that was measured again only
    its last measurement counts. Units are those of the value: mm, degrees, or a ratio.
    """
    if out is not None and out.suffix.lower() not in CHART_FORMS:
        raise BadFlagValueError("--out", str(out), "Give a file that ends in .svg or .png.")
    if out is not None and person is None:
        raise FlagNeedsFlagError("--out", "--person")
    if repeatability is not None and not repeatability > 0.0:
        mend = "Give the standard deviation that beadcheck repeat prints."
        raise BadFlagValueError("--repeatability", f"{repeatability:g}", mend)

    # From here on SQLAlchemy and NumPy are needed, which help must not wait for.
    from beadcheck.limits.limit import limit_unit
    from beadcheck.log import Selection, Wanted, log_address, open_log
    from beadcheck.report.wording import LengthUnit
    from beadcheck.trends import Bounds

    wanted = Wanted(name=of, statistic=statistic, unit=limit_unit(of), side=side)
    selection = Selection(
        person=person,
        class_name=class_name,
        weld_pass=weld_pass,
        since=None if since is None else since.date(),
        until=None if until is None else until.date(),
        latest_only=True,
    )
    unit = LengthUnit.INCH if inch else LengthUnit.MM
    said = Bounds(lowest=at_least, highest=at_most, source="the limit given")
    with open_log(log_address(os.environ, log)) as opened:
        if person is None:
            _show_class(opened, wanted, selection, unit)
        else:
            _show_person(opened, wanted, selection, unit, said, repeatability, out)
    return MEASURED


def _show_person(
    log: "Log",
    wanted: "Wanted",
    selection: "Selection",
    unit: "LengthUnit",
    said: "Bounds",
    repeatability: float | None,
    out: Path | None,
) -> None:
    from dataclasses import replace

    from beadcheck.cli.trend_shown import weld_table
    from beadcheck.log import measurement_of, settings_of, summary_rows
    from beadcheck.trends import (
        bounds_of,
        clock_lines,
        round_the_clock,
        subject_words,
        trend_chart,
        trend_lines,
        trend_of,
    )

    rows = summary_rows(log, wanted, selection)
    bounds = said
    if rows and not said.known:
        bounds = bounds_of(measurement_of(log, rows[-1].measurement).result, wanted)
    found = trend_of(
        rows,
        wanted,
        settings=settings_of(log, selection),
        bounds=bounds,
        repeatability=repeatability,
    )
    if rows:
        put(weld_table(found, unit))
    for line in trend_lines(found, unit):
        put(line)
    singles = summary_rows(log, replace(wanted, for_pass=False), selection)
    for line in clock_lines(round_the_clock(singles), subject_words(found)):
        put(line)
    if out is not None and rows:
        write_whole(out, trend_chart(found, unit=unit, form=CHART_FORMS[out.suffix.lower()]))
        tell(f"Written to {out}.")


def _show_class(log: "Log", wanted: "Wanted", selection: "Selection", unit: "LengthUnit") -> None:
    from beadcheck.cli.trend_shown import class_table, week_table
    from beadcheck.log import class_trend, summary_rows
    from beadcheck.trends import of_class

    members = of_class(summary_rows(log, wanted, selection))
    put(class_table(members, wanted, unit))
    if members:
        put(week_table(class_trend(log, wanted, selection), wanted, unit))
