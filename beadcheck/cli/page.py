"""The subcommand that serves the page."""

from typing import Annotated, Final

import typer

EXAMPLES: Final = """Example (stop it with Ctrl-C):

\b
  beadcheck page --port 7860
"""


def page(
    *,
    port: Annotated[
        int, typer.Option(help="Port of this computer to serve on.", min=1024, max=65535)
    ] = 7860,
    lan: Annotated[
        bool,
        typer.Option(
            "--lan",
            help="Let phones on the same network open it; without this, only this computer can.",
        ),
    ] = False,
    limits: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FILE",
            help="Limit file of your own to offer beside the shipped sets; may be given again.",
        ),
    ] = None,
) -> None:
    """Open the web page on this computer: photo in, annotated picture and findings out.

    Nothing leaves the machine that serves it.
    """
    from beadcheck_page import serve

    serve(port, lan=lan, limits=limits or ())
