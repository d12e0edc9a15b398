"""What a limit set asks of a joint, and what all sets ask, side by side."""

from collections.abc import Sequence

from beadcheck.limits import Limit, LimitSet, look_for, not_judged
from beadcheck.limits.check import TAKEN_AS_CAP
from beadcheck.report.limits_worded import (
    Joint,
    here_words,
    holds_for_words,
    limit_words,
    marks_of,
)
from beadcheck.report.wording import full_words
from beadcheck_page.show.markup import capital, listed, sentence, text


def limits_asked(limit_set: LimitSet, joint: Joint) -> str:
    """Markup of one set, worked out for the joint; each source on a tap."""
    limits = joint.holding(limit_set)
    items = "".join(_limit(each, joint) for each in limits)
    look = look_for(limit_set, joint.coupon)
    return (
        f"<h3>{text(limit_set.title)}</h3>"
        f'<p class="bc-source">{sentence(f"Edition: {limit_set.edition}")} '
        f"{sentence(f'guard band {limit_set.rule.value}')}</p>"
        f"{_paragraph(limit_set.note)}{_paragraph(_unsaid(joint))}"
        + (f'<ul class="bc-points">{items}</ul>' if limits else "<p>None of its limits holds.</p>")
        + (f"<p><b>Look at this pass for:</b> {text(look)}</p>" if look else "")
        + f'<p class="bc-source">{text(not_judged(joint.coupon.weld_pass))}</p>'
    )


def limits_compared(limit_sets: Sequence[LimitSet], joint: Joint) -> str:
    """Markup of what every set asks of the joint, quantity by quantity."""
    asked: dict[str, list[tuple[LimitSet, Limit]]] = {}
    for limit_set in limit_sets:
        for limit in joint.holding(limit_set):
            asked.setdefault(_name(limit), []).append((limit_set, limit))
    without = [each.title for each in limit_sets if not joint.holding(each)]
    folds = "".join(
        f'<details class="bc-fold"><summary>{name}</summary><ul>'
        + "".join(
            f"<li><strong>{text(limit_set.title)}</strong>: {_here(limit, joint)}"
            f"{text(marks_of(limit, joint))}</li>"
            for limit_set, limit in rows
        )
        + "</ul></details>"
        for name, rows in asked.items()
    )
    told = f"No limit here: {listed(without)}." if without else ""
    return (
        f"<h3>Every set, side by side</h3>{_paragraph(_unsaid(joint))}{folds}"
        f'{_paragraph(told)}<p class="bc-source">{text(not_judged(joint.coupon.weld_pass))}</p>'
    )


def limits_not_shown(why: str) -> str:
    """Markup of a refusal."""
    return f'<p class="bc-refusal" role="alert"><strong>Not shown.</strong> {sentence(why)}</p>'


def _paragraph(words: str) -> str:
    return f"<p>{text(words)}</p>" if words else ""


def _unsaid(joint: Joint) -> str:
    return TAKEN_AS_CAP if joint.coupon.weld_pass is None else ""


def _limit(limit: Limit, joint: Joint) -> str:
    reasons = (
        ("Limit", limit_words(limit)),
        ("Holds for", holds_for_words(limit)),
        ("Note", limit.note),
        ("Source", limit.source),
        ("How its number was verified", limit.verified.value),
    )
    told = "".join(
        f"<dt>{label}</dt><dd>{sentence(words)}</dd>" for label, words in reasons if words
    )
    return (
        f"<li><strong>{_name(limit)}</strong>: {text(limit.obligation.value)} be "
        f'{_here(limit, joint)}<details class="bc-reasons"><summary>Formula and source'
        f'<span class="bc-hidden"> of {_name(limit)}</span></summary><dl>{told}</dl></details></li>'
    )


def _here(limit: Limit, joint: Joint) -> str:
    """Value for the joint; what is still missing for one, and the formula, where it is."""
    missing = ["the wall thickness"] if joint.lacks_thickness(limit) else []
    missing += ["the measured weld width"] if joint.lacks_width(limit) else []
    if not missing:
        return text(here_words(limit, joint))
    return text(f"{limit_words(limit)}; needs {listed(missing)}")


def _name(limit: Limit) -> str:
    return capital(full_words(limit.quantity.value, limit.statistic_words))
