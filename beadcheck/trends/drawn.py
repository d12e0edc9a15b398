"""A drawn figure as the bytes of a file."""

import io
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def coded(figure: "Figure", form: Literal["svg", "png"]) -> bytes:
    """Return the file; the same figure always gives the same one."""
    from matplotlib import rc_context  # noqa: PLC0415  # half a second, only once drawn

    buffer = io.BytesIO()
    metadata = {"Date": None} if form == "svg" else None
    with rc_context({"svg.hashsalt": "beadcheck"}):
        figure.savefig(buffer, format=form, dpi=150, metadata=metadata)
    return buffer.getvalue()
