"""The question whether pulse times are seconds."""

from beadcheck_page.show.markup import text


def question(asked: str) -> str:
    """Markup of the question beside its answers; empty where nothing is asked."""
    return f'<p class="bc-question" role="status">{text(asked)}</p>' if asked else ""
