"""How the answers of ``beadcheck arc`` are shown."""

from collections.abc import Sequence

from beadcheck.arc import Answer, Asked, Travel, Unanswered, travel_remark
from beadcheck.cli.streams import put, shown, tell
from beadcheck.coupon import Process
from beadcheck.errors.command import NothingToWorkOutError


def show_answers(
    found: Sequence[Answer | Unanswered],
    process: Process | None,
    travel: Travel | None,
    *,
    inch: bool,
) -> None:
    """Print a table of answers; what is missing, and what looks odd, go to standard error.

    Raises
    ------
    NothingToWorkOutError
        If there is no answer at all.
    """
    from rich.table import Table

    from beadcheck.report.arc_answers import CHECK_TRAVEL, asked_words, reading_words
    from beadcheck.report.in_inches import in_unit
    from beadcheck.report.wording import LengthUnit

    unit = LengthUnit.INCH if inch else LengthUnit.MM
    answered = [each for each in found if isinstance(each, Answer)]
    lacking = [each for each in found if isinstance(each, Unanswered)]
    if not answered:
        raise NothingToWorkOutError(
            "; ".join(f"{asked_words(each.asked)} needs {each.needs}" for each in lacking)
            or "no number was given"
        )
    table = Table(box=None, pad_edge=False)
    for heading in ("what", "value ± U (k = 2)", "how"):
        table.add_column(heading)
    for answer in answered:
        table.add_row(asked_words(answer.asked), reading_words(answer.reading, unit), answer.how)
    put(shown(table))
    for each in lacking:
        tell(f"No {asked_words(each.asked)}: it needs {each.needs}.")
    for answer in answered:
        if answer.asked is Asked.TRAVEL_SPEED:
            remark = travel_remark(answer.reading, process)
            if remark and travel is not None:
                remark = in_unit(remark, unit)
                tell(f"{remark} {CHECK_TRAVEL[type(travel)]}")
