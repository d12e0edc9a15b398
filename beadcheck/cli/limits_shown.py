"""Limit sets as tables: the list, one explained, several side by side."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rich.table import Table
from rich.text import Text

from beadcheck.cli.limits_worded import (
    holds_for_words,
    limit_words,
    quantity_column,
    value_words,
)
from beadcheck.cli.streams import put, shown
from beadcheck.coupon import Coupon
from beadcheck.limits import (
    NOT_JUDGED,
    Family,
    Limit,
    LimitSet,
    Obligation,
    Verified,
    limits_for,
    not_judged,
)
from beadcheck.report.entered import PASS_WORDS
from beadcheck.result import CAUTION

NO_LIMIT: Final = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """What limits depend on, as far as it was said."""

    coupon: Coupon
    width_mm: float | None


def list_sets(limit_sets: Sequence[LimitSet]) -> None:
    """Print every set by name, family by family."""
    table = Table(box=None, pad_edge=False)
    for heading in ("name", "title", "edition", "limits"):
        table.add_column(heading)
    for family in Family:
        members = [each for each in limit_sets if each.family is family]
        if members:
            table.add_row(Text(f"{family.value[0].upper()}{family.value[1:]}", style="bold"))
        for each in members:
            table.add_row(each.name, each.title, each.edition, str(len(each.limits)))
    put(shown(table))
    put(
        "\nExplain one with: beadcheck limits NAME. Compare several for a joint with: beadcheck "
        "limits NAME NAME --wall 10 --width 14. A file of your own may stand for NAME."
    )


def explain(limit_set: LimitSet, joint: Joint | None, *, own: bool) -> None:
    """Print a set with the source of each number, worked out where a joint is given."""
    if own:
        put(f"{limit_set.name}: no mistake found.")
    put(f"{limit_set.title}\nSource: {limit_set.source}, edition {limit_set.edition}")
    put(f"Decision rule: guard band {limit_set.rule.value}, U the expanded uncertainty (k = 2)")
    if limit_set.note:
        put(limit_set.note)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 1, 0))
    here = () if joint is None else ("here",)
    for heading in ("quantity", "limit", *here, "holds for", "source", "verified"):
        table.add_column(heading)
    limits = (
        [each.in_system(limit_set.system) for each in limit_set.limits]
        if joint is None
        else _holding(limit_set, joint)
    )
    for limit in limits:
        value = () if joint is None else (_value(limit, joint),)
        table.add_row(
            quantity_column(limit),
            limit_words(limit),
            *value,
            holds_for_words(limit),
            f"{limit.source}. {limit.note}" if limit.note else limit.source,
            limit.verified.value,
        )
    put("")
    put(shown(table) if limits else "None of these limits holds for this joint.")
    told = limit_set.look_for
    if joint is not None:
        told = {each: told[each] for each in told if each is (joint.coupon.weld_pass or each)}
    for weld_pass, words in told.items():
        put(f"Look at {PASS_WORDS[weld_pass]}, for: {words}")
    put(f"{NOT_JUDGED if joint is None else not_judged(joint.coupon.weld_pass)}\n{CAUTION}")


def compare(limit_sets: Sequence[LimitSet], joint: Joint) -> None:
    """Print what each set asks of one joint: a row for each set, a column for each quantity."""
    found = {each.name: _holding(each, joint) for each in limit_sets}
    columns = list(dict.fromkeys(quantity_column(li) for limits in found.values() for li in limits))
    table = Table(box=None, pad_edge=False, padding=(0, 2, 1, 0))
    table.add_column("set", no_wrap=True)
    for heading in columns:
        table.add_column(heading)
    without = [name for name, limits in found.items() if not limits]
    for limit_set in limit_sets:
        limits = found[limit_set.name]
        cells = [
            "\n".join(_cell(limit, joint) for limit in limits if quantity_column(limit) == column)
            for column in columns
        ]
        if limits:
            table.add_row(limit_set.name, *(cell or NO_LIMIT for cell in cells))
    if columns:
        put(shown(table))
    if without:
        put(f"No limit for this joint: {', '.join(without)}.")
    if joint.coupon.weld_pass is None:
        put("The pass was not given and is taken as the cap.")
    put("Explain a set, with the source of each number: beadcheck limits NAME.")
    put(f"{not_judged(joint.coupon.weld_pass)}\n{CAUTION}")


def _holding(limit_set: LimitSet, joint: Joint) -> list[Limit]:
    return [
        limit
        for limit in limits_for(limit_set, joint.coupon)
        if joint.width_mm is None or joint.width_mm in limit.widths
    ]


def _cell(limit: Limit, joint: Joint) -> str:
    marks = [limit.obligation.value] if limit.obligation is Obligation.SHOULD else []
    if limit.verified in {Verified.MEMORY, Verified.SECONDARY}:
        marks.append(limit.verified.value)
    if limit.stretches is not None:
        over_mm = limit.stretches.over_at(joint.coupon.wall_thickness_mm or 0.0)
        deeper = f"deeper than {value_words(over_mm, limit.unit, limit.system)} "
        on = f"on {limit.stretches.words(limit.system)}"
        marks.append(f"{deeper}{on}" if over_mm > 0.0 else on)
    words = _value(limit, joint)
    return f"{words} ({'; '.join(marks)})" if marks else words


def _value(limit: Limit, joint: Joint) -> str:
    """Sense and value of a limit for the joint, or which flag it waits for."""
    missing = _missing(limit, joint)
    if missing:
        return f"needs {missing}"
    value = limit.at(
        width_mm=joint.width_mm or 0.0, thickness_mm=joint.coupon.wall_thickness_mm or 0.0
    )
    if limit.forbids_any(value):
        return "none"
    sizes = [value] if limit.lowest is None else [limit.lowest, value]
    words = " and ".join(value_words(size, limit.unit, limit.system) for size in sizes)
    return f"{limit.sense.value} {words}"


def _missing(limit: Limit, joint: Joint) -> str:
    flags = []
    if limit.needs_thickness and joint.coupon.wall_thickness_mm is None:
        flags.append("--wall")
    if limit.needs_width and joint.width_mm is None:
        flags.append("--width")
    return " and ".join(flags)
