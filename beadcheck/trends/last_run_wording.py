"""In plain sentences: what changed since somebody's last run of the same kind."""

from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck.trends.last_run import LastRun, ValueChange
from beadcheck.trends.wording import day_words, moved_words, setting_words


def last_run_lines(found: LastRun | None, unit: LengthUnit) -> list[str]:
    """What moved by more than repeat measurement alone would give, and what did not."""
    if found is None:
        return []
    earlier = found.earlier
    kind = earlier.weld_pass or "run"
    since = (
        f"Since {earlier.person}'s last {kind} ({earlier.coupon}, {earlier.run}, "
        f"{day_words(earlier.measured_at)})"
    )
    if not found.values:
        return [f"{since}: nothing was measured both times."]
    moved = [each for each in found.values if each.change.exceeds_measuring]
    alike = "; ".join(_name(each) for each in found.values if not each.change.exceeds_measuring)
    lines = [f"{since}:", *(_moved_words(each, unit) for each in moved)]
    if alike:
        lines.append(f"No more than repeat measurement alone would give: {alike}.")
    if found.settings:
        lines.append(f"Meanwhile {setting_words(found.settings)}.")
    if found.position is not None:
        lines.append(
            f"It was in {earlier.position or 'a position that was not said'} then, and is in "
            f"{found.position} now."
        )
    if found.polarities is not None:
        before, after = found.polarities
        lines.append(f"It was welded on {before.upper()} then, and on {after.upper()} now.")
    if moved:
        lines.append("One run may be chance: the trend tells more from five welds on.")
    return lines


def _moved_words(each: ValueChange, unit: LengthUnit) -> str:
    measuring = value_words(each.change.by_measuring, None, each.unit.value, unit)
    words = moved_words(_name(each), each.change, each.unit, unit)
    return (
        f"{words[0].upper()}{words[1:]}, more than repeat measurement alone would give "
        f"({measuring})."
    )


def _name(each: ValueChange) -> str:
    side = None if each.side is None else each.side.value
    return full_words(each.name.value, each.statistic.value, side)
