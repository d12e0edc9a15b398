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
from beadcheck.errors.command import BadFlagValueError, ConflictingFlagsError, FlagNeedsFlagError
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.whole_file import write_whole

if TYPE_CHECKING:
    from beadcheck.log import Log, Selection, Wanted
    from beadcheck.report.wording import LengthUnit
    from beadcheck.trends import Bounds, WithinWelds

EXAMPLES: Final = """Examples:

\b
  beadcheck measure samples/plate-gtaw-pulsed.jpg --save --person Tern
  beadcheck trend --person Tern
  beadcheck trend --person Tern --of ripple_spacing --out tern.svg
  beadcheck trend --person Tern --where tern-where.svg
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
    where: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the chart of where the width strays, round the clock or along the weld: "
            ".svg or .png.",
        ),
    ] = None,
    inch: flags.Inch = False,
    log: LogFlag = None,
) -> int:
    """Show how steady a person is getting: each weld's value, charts, and what changed.

    Without --person, one line for each person of the class. Of a pass that was measured again only
    its last measurement counts, and none that another corrects, under whatever name. Units are
    those of the value: mm, degrees, or a ratio.
    """
    for flag, file in (("--out", out), ("--where", where)):
        if file is not None and file.suffix.lower() not in CHART_FORMS:
            raise BadFlagValueError(flag, str(file), "Give a file that ends in .svg or .png.")
    if where is not None and of is not QuantityName.WELD_WIDTH:
        raise ConflictingFlagsError("--where", f"--of {of.value}", "it draws the weld width alone")
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
            within = _show_class(opened, wanted, selection, unit)
        else:
            within = _show_person(opened, wanted, selection, unit, said, repeatability, out)
    if where is not None:
        _write_where(within, where, unit)
    return MEASURED


def _show_person(
    log: "Log",
    wanted: "Wanted",
    selection: "Selection",
    unit: "LengthUnit",
    said: "Bounds",
    repeatability: float | None,
    out: Path | None,
) -> "WithinWelds | None":
    from beadcheck.cli.trend_shown import weld_table
    from beadcheck.trends import look_up_person, person_lines, trend_chart

    found = look_up_person(
        log,
        selection,
        wanted,
        bounds=said if said.known else None,
        repeatability=repeatability,
    )
    if found.trend.rows:
        put(weld_table(found.trend, unit))
    for line in person_lines(found, unit):
        put(line)
    if out is not None and found.trend.rows:
        chart = trend_chart(found.trend, unit=unit, form=CHART_FORMS[out.suffix.lower()])
        write_whole(out, [chart])
        tell(f"Written to {out}.")
    return found.within


def _show_class(
    log: "Log", wanted: "Wanted", selection: "Selection", unit: "LengthUnit"
) -> "WithinWelds | None":
    from beadcheck.cli.trend_shown import class_table, week_table
    from beadcheck.trends import class_within_lines, look_up_class

    found = look_up_class(log, selection, wanted)
    put(class_table(found.members, wanted, unit))
    if found.members:
        put(week_table(found.weeks, wanted, unit))
    for line in class_within_lines(found.within, unit):
        put(line)
    return found.within


def _write_where(within: "WithinWelds | None", where: Path, unit: "LengthUnit") -> None:
    from beadcheck.trends import within_chart

    if within is None:
        tell(f"Nothing to draw: no weld's width was measured place by place. No {where}.")
        return
    chart = within_chart(within, unit=unit, form=CHART_FORMS[where.suffix.lower()])
    write_whole(where, [chart])
    tell(f"Written to {where}.")
