"""Whose welds of the log a device is shown: everybody's, or those of one person at a time."""

from collections.abc import Sequence

import gradio as gr

from beadcheck_page.controls import CHOOSE
from beadcheck_page.entries import UNSAID
from beadcheck_page.guard import visit_token
from beadcheck_page.logbook import names_in_log, naming
from beadcheck_page.roles import role_of
from beadcheck_page.visits import Visits


def shown_at_first(
    visits: Visits, request: gr.Request, person: object, names: Sequence[str]
) -> str:
    """Who is chosen when a part of the log is opened: on a device of one's own, oneself."""
    whose = person if isinstance(person, str) else UNSAID
    own = visits.look(visit_token(request.headers.get("cookie")))
    if role_of(request.headers).sees_class or whose != UNSAID or own is None:
        return whose
    return own.person if own.person is not None and own.person in names else whose


def people_list(
    request: gr.Request, names: Sequence[str], whose: str, *, everybody: tuple[str, str]
) -> gr.Dropdown:
    """List of who is in the log, below everybody where the class is seen."""
    first = everybody if role_of(request.headers).sees_class else CHOOSE
    chosen = whose if whose in names else first[1]
    return gr.Dropdown(choices=[first, *((name, name) for name in names)], value=chosen)


def one_person_asked(person: object) -> str | None:
    """Return the one whose welds are asked for, by name: a number does not tell whose it is.

    Raises
    ------
    LogError
    """
    said = naming(person, None, None).person
    return said if said in names_in_log() else None
