"""What follows from the settings alone: current, heat, travel, overlap."""

from collections.abc import Sequence
from typing import Final

from beadcheck.arc import Answer, ArcSettings, Asked, Unanswered, travel_remark
from beadcheck.report.arc_answers import CHECK_TRAVEL, asked_words, reading_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.wording import LengthUnit
from beadcheck_page.show.markup import capital, sentence, text, unbroken

NOTHING_ENTERED: Final = "Enter what was used under “Settings used” first."


def worked_out_answers(
    found: Sequence[Answer | Unanswered], settings: ArcSettings, asked: str, unit: LengthUnit
) -> str:
    """Markup of what follows, and of what else it needs.

    Parameters
    ----------
    asked
        Question whether the pulse times are seconds; empty where nothing is asked.
    """
    answered = [each for each in found if isinstance(each, Answer)]
    lacking = [each for each in found if isinstance(each, Unanswered)]
    items = "".join(
        f"<li><strong>{capital(asked_words(each.asked))}</strong>: "
        f"{unbroken(text(reading_words(each.reading, unit)))}"
        f'<br><span class="bc-source">{text(each.how)}</span></li>'
        for each in answered
    )
    told = [f"No {asked_words(each.asked)} yet: it needs {each.needs}." for each in lacking]
    told += _doubts(answered, settings, unit)
    told += [in_unit(asked, unit)] if asked else []
    if not items and not told:
        told = [NOTHING_ENTERED]
    values = f'<ul class="bc-points">{items}</ul>' if items else ""
    return values + "".join(f"<p>{text(each)}</p>" for each in told)


def not_worked_out(why: str) -> str:
    """Markup of a refusal."""
    return (
        f'<p class="bc-refusal" role="alert"><strong>Not worked out.</strong> {sentence(why)}</p>'
    )


def _doubts(answered: Sequence[Answer], settings: ArcSettings, unit: LengthUnit) -> list[str]:
    """Remark on a travel speed that hands seldom go, with what to check."""
    speeds = [each.reading for each in answered if each.asked is Asked.TRAVEL_SPEED]
    remarks = [travel_remark(each, settings.process) for each in speeds]
    if settings.travel is None:
        return []
    check = CHECK_TRAVEL[type(settings.travel)]
    return [f"{in_unit(each, unit)} {check}" for each in remarks if each]
