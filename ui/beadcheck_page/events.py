"""Which handler a press calls."""

from collections.abc import Callable, Sequence

from gradio.blocks import Block
from gradio.events import Dependency

from beadcheck_page.parts import Updates


def on(
    event: Callable[..., Dependency],
    handler: Callable[..., Updates],
    inputs: Sequence[Block],
    outputs: Sequence[Block],
) -> None:
    """Call a handler on an event. "private" only hides it: each handler looks at the visit."""
    event(handler, inputs, outputs, api_visibility="private", show_progress="hidden")
