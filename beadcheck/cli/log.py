"""The subcommands of the log: what was saved, and looking after it."""

import codecs
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Annotated, Final, Literal

import typer

from beadcheck.cli import log_choose as choose
from beadcheck.cli.failures import MEASURED
from beadcheck.cli.flags import PaperFlag
from beadcheck.cli.log_choose import open_named
from beadcheck.cli.log_flags import LogFlag
from beadcheck.cli.streams import put, tell
from beadcheck.errors.command import BadFlagValueError, FlagNeedsFlagError

app = typer.Typer(
    name="log",
    rich_markup_mode=None,
)
EXAMPLES: Final = """Examples:

\b
  beadcheck log list
  beadcheck log list --person Tern --since 2026-01-01 --json
"""
SHOW_EXAMPLES: Final = """Example:

\b
  beadcheck log show 1
"""
SHEET_EXAMPLES: Final = """Example:

\b
  beadcheck log sheet 1 --out sheet.pdf --paper letter
"""
EXPORT_EXAMPLES: Final = """Examples:

\b
  beadcheck log export > values.csv
  beadcheck log export --as json --person Tern --out tern.jsonl
"""
PEOPLE_EXAMPLES: Final = """Examples:

\b
  beadcheck log people
  beadcheck log people samples/class-list.csv
"""
BACKUP_EXAMPLES: Final = """Example:

\b
  beadcheck log backup november.zip
"""
RESTORE_EXAMPLES: Final = """Example:

\b
  beadcheck log restore november.zip --log again.sqlite3
"""
FORGET_EXAMPLES: Final = """Example:

\b
  beadcheck log forget Moth --yes
"""

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, and nothing else.")]


@app.callback(invoke_without_command=True, epilog=EXAMPLES)
def look(context: typer.Context) -> None:
    """Look at what measure --save kept, and look after it."""
    if context.invoked_subcommand is None:
        put(context.get_help())


@app.command("list", epilog=EXAMPLES)
def list_measurements(
    *,
    person: choose.Person = None,
    class_name: choose.ClassName = None,
    coupon: choose.Coupon = None,
    weld_pass: choose.Pass = None,
    since: choose.Since = None,
    until: choose.Until = None,
    latest: choose.Latest = False,
    json: AsJson = False,
    log: LogFlag = None,
) -> int:
    """List the measurements: number, who, which coupon and pass, when, and the findings."""
    from beadcheck.cli.log_shown import measurements_json, measurements_table
    from beadcheck.log import measurements

    selection = choose.selected(person, class_name, coupon, weld_pass, since, until, latest=latest)
    with open_named(log) as opened:
        found = measurements(opened, selection)
    put(measurements_json(found) if json else measurements_table(found))
    return MEASURED


@app.command(epilog=SHOW_EXAMPLES)
def show(
    number: Annotated[int, typer.Argument(metavar="NUMBER", min=1, help="As list shows it.")],
    *,
    inch: Annotated[bool, typer.Option("--inch", help="Show inches beside millimetres.")] = False,
    json: Annotated[
        bool, typer.Option("--json", help="Print the result as JSON, as it was measured.")
    ] = False,
    coupon_file: Annotated[
        bool, typer.Option("--coupon-file", help="Print the coupon file as it was then.")
    ] = False,
    log: LogFlag = None,
) -> int:
    """Show one measurement: the result, its photos and its corrections."""
    from beadcheck.cli.log_shown import measurement_words
    from beadcheck.log import measurement_of
    from beadcheck.result import result_to_json

    with open_named(log) as opened:
        found = measurement_of(opened, number)
    if json:
        put(result_to_json(found.result))
    elif coupon_file:
        if found.coupon_file is None:
            mend = "It was measured without one; leave --coupon-file out."
            raise BadFlagValueError("--coupon-file", f"of number {number}", mend)
        put(found.coupon_file)
    else:
        put(measurement_words(found, inch=inch))
    return MEASURED


@app.command(epilog=SHEET_EXAMPLES)
def sheet(
    number: Annotated[int, typer.Argument(metavar="NUMBER", min=1, help="As list shows it.")],
    *,
    out: Annotated[Path, typer.Option(metavar="FILE.pdf", help="The sheet's file.")],
    paper: PaperFlag = "a4",
    inch: Annotated[bool, typer.Option("--inch", help="Show inches beside millimetres.")] = False,
    log: LogFlag = None,
) -> int:
    """Print the sheet of a measurement: pictures, findings, and lines for the inspector."""
    from beadcheck.cli.sheet import write_logged_sheet
    from beadcheck.log import measurement_of
    from beadcheck.report.wording import LengthUnit
    from beadcheck.trends import last_run_lines, last_run_of

    with open_named(log) as opened:
        found = measurement_of(opened, number)
        last_run = last_run_of(opened, found)
    unit = LengthUnit.INCH if inch else LengthUnit.MM
    since = last_run_lines(last_run, unit)
    write_logged_sheet(found, out, paper=paper, unit=unit, since=since)
    return MEASURED


@app.command(epilog=EXPORT_EXAMPLES)
def export(
    *,
    form: Annotated[
        Literal["csv", "json"],
        typer.Option("--as", help="A table with a row for each value, or a result on each line."),
    ] = "csv",
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write a file instead of printing.")
    ] = None,
    person: choose.Person = None,
    class_name: choose.ClassName = None,
    coupon: choose.Coupon = None,
    weld_pass: choose.Pass = None,
    since: choose.Since = None,
    until: choose.Until = None,
    latest: choose.Latest = False,
    log: LogFlag = None,
) -> int:
    """Hand the values to a spreadsheet, or whole results to another program."""
    from beadcheck.log import csv_lines, json_lines
    from beadcheck.whole_file import write_whole

    selection = choose.selected(person, class_name, coupon, weld_pass, since, until, latest=latest)
    with open_named(log) as opened:
        lines = (csv_lines if form == "csv" else json_lines)(opened, selection)
        if out is None:
            for line in lines:
                put(line.rstrip("\r\n"))
        else:
            # Spreadsheets take a text for UTF-8 where its mark stands first.
            mark = [codecs.BOM_UTF8] if form == "csv" else []
            write_whole(out, chain(mark, (line.encode() for line in lines)))
            tell(f"Written to {out}.")
    return MEASURED


@app.command(epilog=PEOPLE_EXAMPLES)
def people(
    class_list: Annotated[
        Path | None,
        typer.Argument(
            metavar="FILE.csv",
            help="A class list to add: a line each, with a nickname or a number.",
            show_default=False,
        ),
    ] = None,
    *,
    class_name: Annotated[
        str | None,
        typer.Option("--class", metavar="NAME", help="Class of everybody whose line names none."),
    ] = None,
    try_only: Annotated[
        bool, typer.Option("--try", help="Show what would be added, and add nobody.")
    ] = False,
    json: AsJson = False,
    log: LogFlag = None,
) -> int:
    """List the people in the log, or add a class list."""
    from beadcheck.cli import log_shown
    from beadcheck.log import add_people, read_class_list
    from beadcheck.log import people as everybody

    if class_list is None:
        for flag, given in (("--class", class_name is not None), ("--try", try_only)):
            if given:
                raise FlagNeedsFlagError(flag, "a class list")
        with open_named(log) as opened:
            found = everybody(opened)
        put(log_shown.people_json(found) if json else log_shown.people_table(found))
        return MEASURED
    read = read_class_list(class_list, class_name=class_name)
    for left in read.left_out:
        tell(f"{class_list.name}, line {left.line} is left out: {left.why}.")
    if try_only:
        put(log_shown.newcomers_table(read.people))
        return MEASURED
    with open_named(log) as opened:
        done = add_people(opened, read.people, at=_now())
    put(log_shown.added_words(done))
    return MEASURED


@app.command(epilog=BACKUP_EXAMPLES)
def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="File to write.")],
    *,
    log: LogFlag = None,
) -> int:
    """Write everything, photos included, into one file; saving may go on meanwhile."""
    from beadcheck.log import back_up

    with open_named(log) as opened:
        done = back_up(opened, file, at=_now())
    put(f"{done.measurements} measurements and {done.photos} photos are in {file}.")
    if done.missing:
        tell(f"{done.missing} photos are gone or damaged in the log, and are not in it.")
    return MEASURED


@app.command("restore", epilog=RESTORE_EXAMPLES)
def bring_back(
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="File that backup wrote.")],
    *,
    log: LogFlag = None,
) -> int:
    """Bring everything of a back-up into an empty log, on either kind of database."""
    from beadcheck.log import restore

    with open_named(log) as opened:
        done = restore(opened, file)
        put(f"{done.measurements} measurements and {done.photos} photos are in {opened.address}.")
    return MEASURED


@app.command(epilog=FORGET_EXAMPLES)
def forget(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Nickname or number.")],
    *,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
    log: LogFlag = None,
) -> int:
    """Delete a person's measurements and photos; photos that others' results use stay."""
    from beadcheck.log import Selection, forget_person, measurements

    with open_named(log) as opened:
        if not yes:
            count = len(measurements(opened, Selection(person=name)))
            typer.confirm(
                f"Delete {name} with {count} measurements for good?", abort=True, err=True
            )
        gone = forget_person(opened, name)
    put(
        f"Deleted: {gone.person}, {gone.coupons} coupons, {gone.measurements} measurements, "
        f"{gone.photos} photos. Back-ups that were made before still hold them."
    )
    return MEASURED


def _now() -> datetime:
    return datetime.now().astimezone()
