"""The flags that choose a log and measurements in it, of the subcommands of the log."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from beadcheck.coupon import WeldPass

if TYPE_CHECKING:
    from beadcheck.log import Log, Selection

Person = Annotated[
    str | None, typer.Option(metavar="NAME", help="Only this person's (nickname or number).")
]
ClassName = Annotated[
    str | None, typer.Option("--class", metavar="NAME", help="Only this class's.")
]
Coupon = Annotated[str | None, typer.Option(metavar="NAME", help="Only this coupon's.")]
Pass = Annotated[WeldPass | None, typer.Option("--pass", help="Only this pass.")]
Since = Annotated[
    datetime | None,
    typer.Option(metavar="YYYY-MM-DD", formats=["%Y-%m-%d"], help="From this day on (UTC)."),
]
Until = Annotated[
    datetime | None,
    typer.Option(metavar="YYYY-MM-DD", formats=["%Y-%m-%d"], help="Up to this day (UTC)."),
]
Latest = Annotated[
    bool,
    typer.Option(
        "--latest",
        help="Of a pass measured again, only the last measurement; none that another corrects.",
    ),
]


def selected(
    person: str | None,
    class_name: str | None,
    coupon: str | None,
    weld_pass: WeldPass | None,
    since: datetime | None,
    until: datetime | None,
    *,
    latest: bool,
) -> "Selection":
    """Measurements that the flags choose; a flag that was not given chooses all."""
    from beadcheck.log import Selection

    return Selection(
        person=person,
        class_name=class_name,
        coupon=coupon,
        weld_pass=None if weld_pass is None else weld_pass.value,
        since=None if since is None else since.date(),
        until=None if until is None else until.date(),
        latest_only=latest,
    )


def open_named(named: str | None) -> "Log":
    """Open the log that was named, or else the usual one."""
    import os

    from beadcheck.log import log_address, open_log

    return open_log(log_address(os.environ, named))
