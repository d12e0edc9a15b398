"""Limit sets as tables: the list, one explained, several side by side."""

from collections.abc import Sequence
from typing import Final

from rich.table import Table
from rich.text import Text

from beadcheck.cli.streams import put, shown
from beadcheck.limits import (
    NOT_JUDGED,
    Family,
    Limit,
    LimitSet,
    not_judged,
)
from beadcheck.report.entered import PASS_WORDS
from beadcheck.report.limits_worded import (
    Joint,
    here_words,
    holds_for_words,
    limit_words,
    marks_of,
    quantity_column,
)
from beadcheck.result import CAUTION

NO_LIMIT: Final = "–"


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
        else joint.holding(limit_set)
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
        put(f"Look at the {PASS_WORDS[weld_pass]}, for: {words}")
    put(f"{NOT_JUDGED if joint is None else not_judged(joint.coupon.weld_pass)}\n{CAUTION}")


def compare(limit_sets: Sequence[LimitSet], joint: Joint) -> None:
    """Print what each set asks of one joint: a row for each set, a column for each quantity."""
    found = {each.name: joint.holding(each) for each in limit_sets}
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


def _cell(limit: Limit, joint: Joint) -> str:
    return f"{_value(limit, joint)}{marks_of(limit, joint)}"


def _value(limit: Limit, joint: Joint) -> str:
    """Sense and value of a limit for the joint, or which flag it waits for."""
    flags = ["--wall"] if joint.lacks_thickness(limit) else []
    flags += ["--width"] if joint.lacks_width(limit) else []
    return f"needs {' and '.join(flags)}" if flags else here_words(limit, joint)
