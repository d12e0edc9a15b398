"""The subcommand that says how far repeated photos read alike."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from beadcheck.cli import flags, pass_flags
from beadcheck.cli.coupon_flags import coupon_from_flags
from beadcheck.cli.failures import MEASURED
from beadcheck.cli.streams import put, tell
from beadcheck.cli.trend import CHART_FORMS
from beadcheck.errors.command import BadFlagValueError, ConflictingFlagsError, FlagNeedsFlagError
from beadcheck.quantity import QuantityName, Side, Statistic
from beadcheck.whole_file import write_whole

if TYPE_CHECKING:
    from beadcheck.gauge_study import StudyReading

EXAMPLES: Final = """Examples:

\b
  beadcheck repeat --form study.csv --parts 10 --people Tern,Gull,Moth
  beadcheck repeat samples/repeat-study.csv --tolerance 3.2 --out study.svg
"""
MOST_OF_EACH: Final = 50


def repeat(
    study: Annotated[
        Path | None,
        typer.Argument(
            metavar="STUDY.csv",
            help="The list: a line for each reading, columns part, by, and photo or value; a "
            "hand gauge's reading of the same part may stand under gauge.",
            show_default=False,
        ),
    ] = None,
    *,
    of: Annotated[
        QuantityName, typer.Option("--of", help="What is read.")
    ] = QuantityName.WELD_WIDTH,
    statistic: Annotated[
        Statistic, typer.Option(help="Which summary of each photo.")
    ] = Statistic.MEAN,
    side: Annotated[Side | None, typer.Option(help="Which toe, of what has a side.")] = None,
    tolerance: Annotated[
        float | None,
        typer.Option(metavar="WIDTH", help="Distance between the two limits, in the value's unit."),
    ] = None,
    plate: flags.PlateFlag = False,
    pipe: flags.Pipe = None,
    outside_diameter: flags.OutsideDiameter = None,
    process: pass_flags.ProcessFlag = None,
    target: flags.Target = None,
    print_scale: flags.PrintScale = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the plots there: .svg or .png.")
    ] = None,
    form: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write an empty list to fill in, and stop."),
    ] = None,
    parts: Annotated[
        int, typer.Option(min=2, max=MOST_OF_EACH, help="Of the form: how many parts.")
    ] = 10,
    people: Annotated[
        str, typer.Option(metavar="NAME,NAME", help="Of the form: who reads them, or which phones.")
    ] = "A,B,C",
    trials: Annotated[
        int, typer.Option(min=2, max=MOST_OF_EACH, help="Of the form: how often each.")
    ] = 3,
) -> int:
    """Study how far repeated photos of the same welds read alike, and agree with a hand gauge.

    Every part is photographed equally often by everybody, afresh each time. The analysis of
    variance parts what one person's repeats give (repeatability) from what people or phones add
    (reproducibility) and from the parts' own differences.
    """
    if form is not None:
        if study is not None:
            raise ConflictingFlagsError("--form", str(study), "one writes a list, one reads it")
        _write_form(form, parts, people, trials)
        return MEASURED
    if study is None:
        raise FlagNeedsFlagError("repeat", "a list of readings (or --form FILE for an empty one)")
    if out is not None and out.suffix.lower() not in CHART_FORMS:
        raise BadFlagValueError("--out", str(out), "Give a file that ends in .svg or .png.")
    if tolerance is not None and not tolerance > 0.0:
        raise BadFlagValueError("--tolerance", f"{tolerance:g}", "Give a width above 0.")
    coupon = coupon_from_flags(
        plate=plate,
        pipe=pipe,
        outside_diameter_mm=outside_diameter,
        wall_thickness_mm=None,
        process=process,
        position=None,
        progression=None,
        weld_pass=None,
        pulse=None,
    )

    # From here on OpenCV and SciPy are needed, which help must not wait for.
    from beadcheck.cli.study_photos import Studied, study_readings
    from beadcheck.cli.study_told import study_told
    from beadcheck.gauge_study import read_study
    from beadcheck.limits.limit import limit_unit
    from beadcheck.report.wording import full_words

    studied = Studied(
        name=of,
        statistic=statistic,
        side=side,
        coupon=coupon,
        target=target,
        measured_bar_mm=print_scale,
    )
    readings: tuple[StudyReading, ...] = study_readings(read_study(study), studied)
    unit = limit_unit(of).value
    words = full_words(of.value, statistic.value, None if side is None else side.value)
    told = study_told(readings, tolerance=tolerance, subject=words, unit=unit)
    put(told.words)
    if out is not None:
        chart = told.chart(CHART_FORMS[out.suffix.lower()])
        write_whole(out, [chart])
        tell(f"Written to {out}.")
    return MEASURED


def _write_form(form: Path, parts: int, people: str, trials: int) -> None:
    from beadcheck.gauge_study.study_csv import form_csv

    names = list(dict.fromkeys(name.strip() for name in people.split(",") if name.strip()))
    if not 2 <= len(names) <= MOST_OF_EACH:
        raise BadFlagValueError("--people", people, "Name two people or phones at least: A,B")
    text = form_csv([f"part {k + 1}" for k in range(parts)], names, trials)
    write_whole(form, [text.encode("utf-8-sig")])
    put(f"Written to {form}: fill in photo or value, and gauge where you have one.")
