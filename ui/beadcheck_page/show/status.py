"""Where the measurement stands, in one line."""

from beadcheck_page.orders import Phase, Progress
from beadcheck_page.show.markup import text

STAYS_HERE = "You may lock the phone or walk away: the result waits here."


def status(progress: Progress | None) -> str:
    """Markup of the line under the Measure button; empty where nothing was asked for."""
    if progress is None:
        return ""
    if progress.phase is Phase.FAILED:
        return refusal(progress.sentence)
    if progress.phase is Phase.DONE:
        return '<p class="bc-status">Done. The result is below.</p>'
    if progress.phase is Phase.WAITING and progress.ahead:
        before = "1 measurement is" if progress.ahead == 1 else f"{progress.ahead} measurements are"
        line = f"In the queue: {before} before yours."
        bar = '<progress aria-label="Waiting"></progress>'
    else:
        number = min(progress.measured + 1, progress.total)
        line = f"Measuring photo {number} of {progress.total}."
        # Half a photo ahead: a bar at nothing looks stuck.
        done = progress.measured + 0.5
        bar = (
            f'<progress aria-label="Photos measured" max="{progress.total}" value="{done}">'
            "</progress>"
        )
    return f'<p class="bc-status">{line} {STAYS_HERE}</p>{bar}'


def refusal(sentence: str) -> str:
    """Markup of a refusal."""
    return f'<p class="bc-refusal" role="alert"><strong>Not measured.</strong> {text(sentence)}</p>'
