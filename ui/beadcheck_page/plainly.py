"""What goes wrong in a handler, as one sentence on the page."""

import functools
import logging
from collections.abc import Callable
from typing import Any, Final

import gradio as gr

from beadcheck.errors import BeadcheckError
from beadcheck_page import show
from beadcheck_page.faults import fault_sentence
from beadcheck_page.parts import Updates

_LOG: Final = logging.getLogger(__name__)

Handler = Callable[..., Updates]


def told_at(
    place: Callable[[Any], gr.HTML], told: Callable[[str], str]
) -> Callable[[Handler], Handler]:
    """Turn whatever goes wrong in a handler into one sentence in this place.

    Parameters
    ----------
    place
        Part of the page, of the object that the handler belongs to.
    told
        From the sentence to its markup.
    """

    def plain(handler: Handler) -> Handler:
        @functools.wraps(handler)
        def handle(self: object, *given: object) -> Updates:
            try:
                return handler(self, *given)
            except BeadcheckError as refusal:
                sentence = str(refusal)
            except Exception as error:  # the last face before a person
                sentence = fault_sentence(_LOG, error)
            return {place(self): told(sentence)}

        return handle

    return plain


plainly = told_at(lambda handlers: handlers.parts.status, show.refusal)
"""The same, under the Measure button."""
