"""What is said of keeping a result in the log."""

from beadcheck.report.wording import LengthUnit
from beadcheck_page.orders import Kept
from beadcheck_page.roles import Role
from beadcheck_page.show.markup import points, sentence, text


def keep_help(place: str, role: Role) -> str:
    """Markup of what is kept, where, and who sees it.

    Parameters
    ----------
    place
        File or address of the log, told at the computer that serves the page alone.
    """
    where = (
        f"The log is here: <code>{text(place)}</code>"
        if role is Role.HERE
        else "The log is the class’s, on the computer that serves this page. Whoever has the class "
        "code can choose these names; the instructor sees everybody’s welds."
    )
    return (
        "<p>Adds the numbers, and copies of the photos without their location, to the log. They "
        "stay there when this page forgets the visit. A nickname or a number is enough.</p>"
        f'<p class="bc-source">{where}</p>'
    )


def kept(kept: Kept, *, again: bool, who: str, unit: LengthUnit = LengthUnit.MM) -> str:
    """Markup of what the log holds now, and of what changed since the welder's last run.

    Parameters
    ----------
    again
        Whether the log held it before the button was pressed.
    who
        Whose it is: as it was said, or as the log knows that person.
    """
    began = "Nothing was added: already kept as" if again else "Kept as"
    said = [f"{began} number {kept.number}: {who}, {kept.coupon}, {kept.run}."]
    if kept.in_place_of is not None and not again:
        said.append(f"It corrects number {kept.in_place_of}, which stays in the log.")
    if kept.new_person and not again:
        said.append(f"{who} is new in the log.")
    return f'<p class="bc-kept">{text(" ".join(said))}</p>{_since(kept, unit)}'


def _since(kept: Kept, unit: LengthUnit) -> str:
    if kept.since is None:
        return ""
    # What words it loads a database layer.
    from beadcheck.trends import last_run_lines  # noqa: PLC0415

    return points(last_run_lines(kept.since, unit))


def not_kept(why: str) -> str:
    """Markup of a refusal to keep; the result itself is still there."""
    return f'<p class="bc-refusal"><strong>Not kept.</strong> {sentence(why)}</p>'
