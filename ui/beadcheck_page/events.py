"""Which handler a press calls."""

import json
from collections.abc import Callable, Sequence
from typing import Final

from gradio.blocks import Block
from gradio.events import Dependency

from beadcheck_page.parts import Updates

READING: Final = '<p class="bc-waiting" role="status">Reading the log…</p>'


def on(
    event: Callable[..., Dependency],
    handler: Callable[..., Updates],
    inputs: Sequence[Block],
    outputs: Sequence[Block],
) -> None:
    """Call a handler on an event. "private" only hides it: each handler looks at the visit.

    Values come as they were sent: what a field never holds is refused in our own words.
    """
    event(
        handler,
        inputs,
        outputs,
        api_visibility="private",
        show_progress="hidden",
        preprocess=False,
    )


def reads_log(event: Callable[..., Dependency], told: Block) -> None:
    """Have the browser say at once that the log is being read; the answer takes its place."""
    event(
        None,
        None,
        [told],
        js=f"() => {json.dumps(READING)}",
        api_visibility="private",
        show_progress="hidden",
    )
