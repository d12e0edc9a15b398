"""The command ``beadcheck``, a module per subcommand.

Nothing here loads OpenCV, NumPy or the page: a command's module does so once it runs, so that help
answers at once.
"""

import sys
from collections.abc import Callable
from typing import Annotated

import typer

from beadcheck.cli import arc as working_out
from beadcheck.cli import camera as calibrating
from beadcheck.cli import limits as limit_sets
from beadcheck.cli import log as keeping
from beadcheck.cli import measure as measuring
from beadcheck.cli import page as serving
from beadcheck.cli import repeat as repeating
from beadcheck.cli import target as drawing
from beadcheck.cli import trend as trending
from beadcheck.cli.failures import exit_code_of
from beadcheck.cli.grouped_help import GroupedCommand
from beadcheck.cli.streams import close_streams, prepare_streams, put
from beadcheck.cli.threads import leave_cores_to_opencv

_EPILOG = """Examples:

\b
  beadcheck measure samples/plate-gtaw-pulsed.jpg
  beadcheck measure --help
"""


def _show_version(wanted: bool) -> None:  # noqa: FBT001  # typer calls it with the flag alone
    if wanted:
        from importlib.metadata import version

        put(f"beadcheck {version('beadcheck')}")
        raise typer.Exit


app = typer.Typer(
    name="beadcheck",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(invoke_without_command=True, epilog=_EPILOG)
def beadcheck(
    context: typer.Context,
    *,
    version: Annotated[  # noqa: ARG001  # the callback answers it
        bool,
        typer.Option("--version", help="Print the version.", callback=_show_version, is_eager=True),
    ] = False,
) -> None:
    """Measure weld beads from phone photos, each number with its uncertainty.

    beadcheck is a practice aid: the final judgement is a qualified inspector's.
    """
    if context.invoked_subcommand is None:
        put(context.get_help())


def _add(
    command: Callable[..., int | None], epilog: str, what: str, *, grouped: bool = False
) -> None:
    """Add a command; `what` stands in the list of all, where a line has room for so many words."""
    cls = GroupedCommand if grouped else None
    app.command(epilog=epilog, cls=cls, short_help=what)(command)


_add(measuring.measure, measuring.EXAMPLES, "Measure welds in photos.", grouped=True)
_add(drawing.target, drawing.EXAMPLES, "Draw a card or a strip to print and lay beside the weld.")
_add(serving.page, serving.EXAMPLES, "Do it all in the browser, on this computer or a phone.")
_add(limit_sets.limits, limit_sets.EXAMPLES, "List, explain, compare or check limit sets.")
_add(working_out.arc, working_out.EXAMPLES, "Work out heat and travel from settings.", grouped=True)
_add(trending.trend, trending.EXAMPLES, "Show how steady a person or class is getting.")
_add(repeating.repeat, repeating.EXAMPLES, "Study how far repeated readings agree.")
_add(calibrating.camera, calibrating.EXAMPLES, "Calibrate a phone's camera once.")
app.add_typer(keeping.app)


def main() -> None:
    """Run the command line and leave with its exit code; every failure is one sentence."""
    prepare_streams()
    leave_cores_to_opencv()
    try:
        # Without standalone mode, typer hands an explicit exit code back as the value.
        code = app(standalone_mode=False) or 0
    except (Exception, KeyboardInterrupt) as error:
        code = exit_code_of(error)
    close_streams()
    sys.exit(code)
