"""What has been kept: the list, one measurement of it, and a name put right."""

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from beadcheck.limits import Finding
from beadcheck.report.entered import coupon_words, settings_words
from beadcheck.report.wording import LengthUnit, finding_count_words, full_words, value_words
from beadcheck_page.kept_log import LINES, Asked, Opened
from beadcheck_page.roles import Role
from beadcheck_page.show.findings import findings
from beadcheck_page.show.markup import capital, points, sentence, text, unbroken
from beadcheck_page.show.targets import PAPERS
from beadcheck_page.show.values import not_measured, value_tables

if TYPE_CHECKING:
    from beadcheck.log import KeptCorrection, Logged, LoggedLine, LoggedPage, Saved


def log_list(
    page: "LoggedPage | None", person: str | None, wanted: Asked, unit: LengthUnit, role: Role
) -> str:
    """Markup of a page of what was kept, the newest first.

    Parameters
    ----------
    page
        None where there is no log yet.
    person
        Whose alone it is.
    """
    if page is None or not page.total:
        where = "in the log" if person is None else f"of {text(person)}"
        return f"<p>Nothing was kept {where} yet.</p>"
    lines = "".join(_line(each, wanted.number, unit) for each in page.lines)
    first, last = page.skipped + 1, page.skipped + len(page.lines)
    whose = "" if person is None else f" of {text(person)}"
    counted = (
        f"{first} to {last} of {page.total} measurements{whose}, newest first"
        if page.lines
        else f"There are {page.total} measurements{whose}, and none further back"
    )
    return (
        f'<p tabindex="-1" data-lines>{counted}.</p><ul class="bc-kept-lines">{lines}</ul>'
        f'<div class="bc-links">{_turns(page)}</div>'
        f"{_table(person) if role.sees_class else ''}"
    )


def _table(person: str | None) -> str:
    """Link to every value, which stand there beside numbers of people."""
    of = "" if person is None else f"?{urlencode({'person': person})}"
    whose = "" if person is None else f" of {text(person)}"
    return (
        f'<div class="bc-links"><a class="bc-button" href="{text(f"/log/values.csv{of}")}">'
        f"Save every value{whose}, for a spreadsheet</a></div>"
    )


def _turns(page: "LoggedPage") -> str:
    """Buttons to the other pages of the list."""
    turns = {}
    if page.skipped:
        turns["Newer"] = max(0, page.skipped - LINES)
    if page.skipped + len(page.lines) < page.total and page.lines:
        turns["Older"] = page.skipped + LINES
    return "".join(
        f'<button type="button" class="bc-small" data-skipped="{skipped}">{word}</button>'
        for word, skipped in turns.items()
    )


def _line(line: "LoggedLine", shown: int | None, unit: LengthUnit) -> str:
    logged = line.logged
    values = "".join(
        f"<span>{capital(full_words(each.name, each.statistic))} "
        f"{unbroken(text(value_words(each.value, each.expanded_uncertainty, each.unit, unit)))}"
        "</span>"
        for each in line.headlines[:3]
    )
    replaced = (
        ""
        if line.replaced_by is None
        else f"<span>Corrected: number {line.replaced_by} took its place</span>"
    )
    current = ' aria-current="true"' if logged.number == shown else ""
    return (
        f'<li><button type="button" class="bc-kept-line" data-number="{logged.number}"{current}>'
        f"<strong>{text(logged.person)}: {text(logged.coupon)}, {text(logged.run)}</strong>"
        f"<span>Number {logged.number}, {_when(logged)}</span>"
        f"<span>{text(_counts(logged))}</span>{values}{replaced}</button></li>"
    )


def _counts(logged: "Logged") -> str:
    """Findings in words; a kind without any is left out."""
    counts = {
        Finding.OUTSIDE: logged.outside,
        Finding.UNDECIDED: logged.undecided,
        Finding.WITHIN: logged.within,
        Finding.NOT_MEASURED: logged.not_measured,
    }
    counted = [f"{count} {finding}" for finding, count in counts.items() if count]
    return "Findings: " + ", ".join(counted) if counted else "No limit was checked"


def _when(logged: "Logged") -> str:
    return f"{logged.measured_at.astimezone():%Y-%m-%d %H:%M}"


def log_chosen(opened: Opened, unit: LengthUnit, role: Role) -> str:
    """Markup of one measurement: whose, what was found, its values, and its sheet."""
    found = opened.found
    logged, result = found.logged, found.result
    said = [f"Measured {_when(logged)}"]
    if logged.measured_by not in (None, logged.person):
        said[0] += f" by {logged.measured_by}"
    said.append(coupon_words(result.coupon, unit))
    said.append(settings_words(result.settings, result.coupon, unit))
    if result.limits:
        said.append(f"Limits: {result.limits}")
    said += [_correction(each) for each in found.corrections]
    if found.replaced_by is not None:
        said.append(f"Number {found.replaced_by} took the place of this one")
    told = "".join(f"<p>{sentence(each)}</p>" for each in said if each)
    asked = {"unit": unit.value} | ({} if role.sees_class else {"person": logged.person})
    # Not marked as downloads: the page's own script fetches them, and shows why there is none.
    links = "".join(
        f'<a class="bc-button" href="/log/{logged.number}/sheet/{paper}?{text(urlencode(asked))}">'
        f"Print this again, {name}</a>"
        for paper, name in PAPERS
    )
    changeable = " data-names" if role.sees_class and found.replaced_by is None else ""
    return (
        f'<section class="bc-results" data-kept="{logged.number}"{changeable}>'
        f'<h3 tabindex="-1">Number {logged.number}: {text(logged.person)}, '
        f"{text(logged.coupon)}, {text(logged.run)}</h3>"
        f'<p class="bc-counts">{sentence(finding_count_words(result.checks))}</p>{told}'
        f'<p class="bc-caution">{text(result.caution)}</p>'
        f'<div class="bc-links">{links}'
        '<button type="button" class="bc-small" data-back>Back to the list</button></div>'
        f"{points(opened.since(unit))}"
        f"{findings(result, unit)}{value_tables(result, unit)}{not_measured(result)}</section>"
    )


def _correction(each: "KeptCorrection") -> str:
    why = f" ({each.why})" if each.why else ""
    earlier = "" if each.corrects is None else f", in place of number {each.corrects}"
    return f"Corrected {each.at.astimezone():%Y-%m-%d %H:%M}{earlier}: {each.what}{why}"


def names_help() -> str:
    """Markup of what putting a name right does."""
    return (
        "<h3>Wrong name?</h3><p>The measurement is kept once more under the right names, and "
        "counts there alone from then on. The first one stays in the log and says so.</p>"
    )


def names_put_right(saved: "Saved", number: int) -> str:
    """Markup of a name that was put right."""
    new = f" {saved.person} is new in the log." if saved.new_person else ""
    words = (
        f"Kept as number {saved.number}: {saved.person}, {saved.coupon}, {saved.run}. It takes the "
        f"place of number {number}, which stays in the log.{new}"
    )
    return f'<p class="bc-kept">{text(words)}</p>'


def not_put_right(why: str) -> str:
    """Markup of a refusal to put a name right."""
    return f'<p class="bc-refusal" role="alert"><strong>Not put right.</strong> {sentence(why)}</p>'
