"""The flags for many photos that are welds of their own, and what may not stand beside them."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Final

import typer

from beadcheck.cli import headings
from beadcheck.errors.command import ConflictingFlagsError, FlagNeedsFlagError

MANY_FOR_ONE: Final = 24
"""More photos than a weld usually needs, even round a pipe, from above and by lines of light."""
TIME_LIMIT_S: Final = 300.0
"""Far more than the largest photo takes on a slow machine: what takes longer hangs."""
_OF_ONE_WELD: Final = (
    "pair",
    "step_at",
    "clock",
    "along",
    "toes",
    "sectors",
    "sheet",
    "paper",
    "save",
    "person",
    "coupon_name",
    "measured_by",
    "corrects",
    "log",
)
"""Flags that say something of one photo or one weld alone."""
_OF_MANY: Final = ("jobs", "time_limit", "cluster")

Each = Annotated[
    bool,
    typer.Option(
        "--each",
        help="Each photo shows a weld of its own: measure them on all cores, each with its own "
        "result in a folder inside DIR. The same command goes on where it was stopped.",
        rich_help_panel=headings.MANY,
    ),
]
Jobs = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        min=1,
        max=256,
        help="How many photos are measured at once: as many as there are cores unless said.",
        rich_help_panel=headings.MANY,
    ),
]
TimeLimit = Annotated[
    float,
    typer.Option(
        metavar="S",
        min=1.0,
        help="How long one photo may take, in seconds; then it is stopped, and the rest go on.",
        rich_help_panel=headings.MANY,
    ),
]
Cluster = Annotated[
    str | None,
    typer.Option(
        metavar="ADDRESS",
        help="Send the photos to the workers of a Dask cluster, by its scheduler's address, as in "
        "tcp://10.0.0.5:8786.",
        rich_help_panel=headings.MANY,
    ),
]


def hint_for(photos: int) -> str:
    """What to say before so many photos are measured as one coupon; empty for a usual number.

    Examples
    --------
    >>> hint_for(24)
    ''
    >>> hint_for(300)[:36]
    'All 300 photos are taken as one coup'
    """
    if photos <= MANY_FOR_ONE:
        return ""
    return (
        f"All {photos} photos are taken as one coupon. If each shows a weld of its own, stop with "
        "Ctrl-C and add --each."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Many:
    """How many photos are measured, each by itself.

    Attributes
    ----------
    out
        Folder for the results.
    jobs
        How many at once; None for as many as there are cores.
    cluster
        Address of a cluster's scheduler, or None for this machine.
    """

    out: Path
    jobs: int | None
    time_limit_s: float
    cluster: str | None


def many_from_flags(
    context: typer.Context,
    *,
    each: bool,
    jobs: int | None,
    time_limit_s: float,
    cluster: str | None,
    out: Path | None,
) -> Many | None:
    """How to measure each photo by itself; None where they are one coupon.

    Raises
    ------
    FlagNeedsFlagError, ConflictingFlagsError
    """
    typed = {
        param.name or "": param.opts[0]
        for param in context.command.params
        if (source := context.get_parameter_source(param.name or "")) is not None
        and source.name == "COMMANDLINE"
    }
    if not each:
        for name in _OF_MANY:
            if name in typed:
                raise FlagNeedsFlagError(typed[name], "--each")
        return None
    for name in _OF_ONE_WELD:
        if name in typed:
            raise ConflictingFlagsError("--each", typed[name], "that concerns one weld")
    if context.params.get("kind") == "pair":
        raise ConflictingFlagsError("--each", "--kind pair", "a pair is two photos of one weld")
    if cluster is not None and jobs is not None:
        why = "the cluster knows how many it can do at once"
        raise ConflictingFlagsError("--cluster", "--jobs", why)
    if out is None:
        raise FlagNeedsFlagError("--each", "--out")
    return Many(out=out, jobs=jobs, time_limit_s=time_limit_s, cluster=cluster)
