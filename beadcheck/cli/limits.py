"""The subcommand that lists limit sets, and shows or checks one."""

from typing import TYPE_CHECKING, Annotated, Final

import typer

from beadcheck.cli.failures import MEASURED
from beadcheck.cli.streams import put, shown

if TYPE_CHECKING:
    from beadcheck.limits import Limit

EXAMPLES: Final = """Examples:

\b
  beadcheck limits
  beadcheck limits pipe-coupon
"""


def limits(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="NAME|FILE", help="A limit set, or your own file to check.", show_default=False
        ),
    ] = None,
) -> int:
    """List the limit sets, or show one: its numbers, where they come from, and how sure that is.

    A file of your own is checked on the way: what is wrong is said with its line and the mend.
    """
    if name is None:
        _list_sets()
    else:
        _show_set(name)
    return MEASURED


def _list_sets() -> None:
    from rich.table import Table

    from beadcheck.limits import limit_sets, load_limit_set

    table = Table(box=None, pad_edge=False)
    for heading in ("name", "title", "edition", "limits"):
        table.add_column(heading)
    for name in limit_sets():
        each = load_limit_set(name)
        table.add_row(name, each.title, each.edition, str(len(each.limits)))
    put(shown(table))
    put("\nShow one with: beadcheck limits NAME. A file of your own may stand for NAME.")


def _show_set(name: str) -> None:
    from rich.table import Table

    from beadcheck.limits import load_limit_set
    from beadcheck.result import CAUTION

    limit_set = load_limit_set(name)
    put(f"{limit_set.title}\nSource: {limit_set.source}, edition {limit_set.edition}")
    put(f"Decision rule: guard band {limit_set.rule.value}, U the expanded uncertainty (k = 2)")
    if limit_set.note:
        put(limit_set.note)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 1, 0))
    for heading in ("quantity", "limit", "holds for", "source", "verified"):
        table.add_column(heading)
    for limit in limit_set.limits:
        source = f"{limit.source}. {limit.note}" if limit.note else limit.source
        table.add_row(
            f"{_words(limit.quantity.value)}, {limit.statistic_words}",
            f"{limit.obligation.value} be {limit.sense.value} {_value_words(limit)}",
            _holds_for_words(limit),
            source,
            limit.verified.value,
        )
    put("")
    put(shown(table))
    put(CAUTION)


def _words(name: str) -> str:
    return name.replace("_", " ")


def _value_words(limit: "Limit") -> str:
    terms = [f"{limit.constant:g}"] if limit.constant or not _varies(limit) else []
    if limit.per_weld_width:
        terms.append(f"{limit.per_weld_width:g} × weld width")
    if limit.per_thickness:
        terms.append(f"{limit.per_thickness:g} × thickness")
    words = f"{' + '.join(terms)} {limit.unit.value}"
    if limit.no_more_than is not None:
        words += f", no more than {limit.no_more_than:g} {limit.unit.value}"
    if limit.short_only:
        words += ", on short stretches only"
    return f"{words} (printed: {limit.printed})" if limit.printed else words


def _varies(limit: "Limit") -> bool:
    return bool(limit.per_weld_width or limit.per_thickness)


def _holds_for_words(limit: "Limit") -> str:
    groups = (limit.passes, limit.processes, limit.shapes)
    words = [" or ".join(each.value for each in group) for group in groups if group]
    bounds = (
        ("from", limit.thicknesses.from_mm),
        ("over", limit.thicknesses.over_mm),
        ("up to", limit.thicknesses.to_mm),
    )
    thickness = " ".join(f"{word} {size:g} mm" for word, size in bounds if size is not None)
    if thickness:
        words.append(f"thickness {thickness}")
    return ", ".join(words) or "all"
