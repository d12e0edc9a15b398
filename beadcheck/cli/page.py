"""The subcommand that serves the page."""

from typing import Annotated, Final

import typer

EXAMPLES: Final = """Examples (stop each with Ctrl-C):

\b
  beadcheck page --port 7860
  beadcheck page --port 7860 --lan --class-code harrow-42
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
            help="Let phones on the same network open it with the class code, which is printed "
            "beside a code to scan; without this, only this computer can. The connection is not "
            "encrypted.",
        ),
    ] = False,
    limits: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FILE",
            help="Limit file of your own to offer beside the shipped sets; may be given again.",
        ),
    ] = None,
    class_code: Annotated[
        str | None,
        typer.Option(
            help="With --lan: the code that trainees enter once a day on their device. It opens "
            "measuring, keeping, and the welds of one person at a time, under whatever name is "
            "chosen: names are not protected from each other. Random unless given.",
            metavar="CODE",
        ),
    ] = None,
    instructor_code: Annotated[
        str | None,
        typer.Option(
            help="With --lan: the code that also opens the whole class side by side on another "
            "device, for four hours. Random unless given.",
            metavar="CODE",
        ),
    ] = None,
) -> None:
    """Open the web page on this computer: photo in, annotated picture and findings out.

    Nothing leaves the machine that serves it. At that machine no code is asked for.
    """
    from beadcheck_page import codes_for, serve
    from beadcheck_page.refusals import CodeWithoutNetworkError

    if not lan and (class_code is not None or instructor_code is not None):
        raise CodeWithoutNetworkError
    codes = codes_for(class_code, instructor_code) if lan else None
    serve(port, codes=codes, limits=limits or ())
