"""What many welds say together: a chart and its sentences, or a line for each person."""

from base64 import b64encode
from typing import Final

from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck_page.roles import Role
from beadcheck_page.show.markup import capital, points, sentence, text, unbroken
from beadcheck_page.steadiness import OfClass, OfPerson

_ENTER: Final = '<p><a class="bc-button" href="enter">Enter the instructor’s code</a></p>'


def who_reads_the_log(role: Role) -> str:
    """Markup of who can read the log here."""
    if role is Role.HERE:
        return (
            "<p><strong>Whoever sits at this computer can read the whole log here:</strong> "
            "everybody’s welds, under the names they were kept with. On another device that takes "
            "the instructor’s code.</p>"
        )
    if role is Role.INSTRUCTOR:
        return (
            "<p><strong>This device has the instructor’s code and shows the whole class</strong>, "
            "for four hours or until you leave.</p>"
            '<p><a class="bc-button" href="enter">Leave, before you hand it on</a></p>'
        )
    return (
        "<p>The log is the class’s. Choose your own name: names have no password, so whoever has "
        "the class code can choose yours as well. The class side by side takes the instructor’s "
        f"code.</p>{_ENTER}"
    )


def choose_somebody() -> str:
    """Markup that asks for a person."""
    return "<p>Choose whose welds to show.</p>"


def not_shown(why: str) -> str:
    """Markup of a refusal to show the log."""
    return f'<p class="bc-refusal" role="alert"><strong>Not shown.</strong> {sentence(why)}</p>'


def steadiness(found: OfPerson | OfClass, unit: LengthUnit) -> str:
    """Markup of what was found, as one person's or everybody's."""
    return _of_person(found, unit) if isinstance(found, OfPerson) else _of_class(found, unit)


def _of_person(found: OfPerson, unit: LengthUnit) -> str:
    lines = points(found.lines)
    if found.chart_svg is None:
        return lines
    return (
        f"<h3>{text(found.person)}: {text(_title(found))}</h3>"
        f"{_drawing(found.chart_svg, _in_words(found, unit))}"
        f"{lines}"
        f"{_where(found.where_svg, 'each weld')}"
        f'<details class="bc-fold"><summary>Every weld</summary>{_welds(found, unit)}</details>'
    )


def _drawing(svg: bytes, words: str) -> str:
    # As a picture: the drawing's own styles would reach the whole page.
    picture = f"data:image/svg+xml;base64,{b64encode(svg).decode('ascii')}"
    return f'<img class="bc-chart" src="{picture}" alt="{text(words)}">'


def _where(svg: bytes | None, whose: str) -> str:
    if svg is None:
        return ""
    words = (
        f"Table of how far the width strays at each place of {whose}, darker where farther. Where "
        "that is most is said beside it."
    )
    return f"<h3>Where the width strays</h3>{_drawing(svg, words)}"


def _title(found: OfPerson | OfClass) -> str:
    wanted = found.trend.wanted if isinstance(found, OfPerson) else found.wanted
    return full_words(wanted.name.value, wanted.statistic.value)


def _in_words(found: OfPerson, unit: LengthUnit) -> str:
    """What the chart shows, for somebody who cannot see it."""
    rows = found.trend.rows
    values = [row.value for row in rows]
    least, greatest = (
        value_words(value, None, found.trend.wanted.unit.value, unit)
        for value in (min(values), max(values))
    )
    count = f"{len(rows)} welds" if len(rows) > 1 else "1 weld"
    return (
        f"Chart of {_title(found)} of {found.person}, {count} from oldest to latest, between "
        f"{least} and {greatest}. What it shows is said below it, and every weld is listed there."
    )


def _welds(found: OfPerson, unit: LengthUnit) -> str:
    wanted = found.trend.wanted.unit.value
    body = "".join(
        f'<tr><th scope="row">{number}. {row.measured_at.astimezone():%Y-%m-%d}, '
        f"{text(row.coupon)}, {text(row.run)}</th>"
        f"<td>{unbroken(text(value_words(row.value, row.expanded_uncertainty, wanted, unit)))}"
        "</td></tr>"
        for number, row in enumerate(found.trend.rows, start=1)
    )
    return (
        f'<table class="bc-values"><caption>{capital(_title(found))}</caption><thead><tr>'
        f'<th scope="col">Weld</th><th scope="col">Value ± U</th></tr></thead>'
        f"<tbody>{body}</tbody></table>"
    )


def _of_class(found: OfClass, unit: LengthUnit) -> str:
    if not found.members:
        return "<p>Nothing was kept in the log that fits.</p>"
    body = ""
    for each in found.members:
        first, latest = (
            unbroken(text(value_words(value, None, found.wanted.unit.value, unit)))
            for value in (each.first, each.latest)
        )
        share = f"<br>{each.share_words}" if each.share_words else ""
        body += (
            f'<tr><th scope="row">{text(each.person)}</th><td>{each.welds}</td><td>{first}</td>'
            f"<td>{latest}{share}</td></tr>"
        )
    return (
        f'<table class="bc-values bc-members"><caption>{capital(_title(found))}</caption>'
        "<thead><tr>"
        '<th scope="col">Who</th><th scope="col">Welds</th><th scope="col">First</th>'
        f'<th scope="col">Latest</th></tr></thead><tbody>{body}</tbody></table>'
        '<p class="bc-source">First and latest are means over up to eight of the first and of the '
        "last welds. Whether a change is more than chance is said where one person is chosen.</p>"
        f"{_where(found.where_svg, 'each person’s welds')}"
        f"{points(found.lines)}"
    )
