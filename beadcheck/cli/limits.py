"""The subcommand that lists limit sets, explains one, compares several, and checks a file."""

from typing import TYPE_CHECKING, Annotated, Final

import typer

from beadcheck.cli import flags, pass_flags
from beadcheck.cli.coupon_flags import coupon_from_flags
from beadcheck.cli.failures import MEASURED
from beadcheck.errors.command import BadFlagValueError

if TYPE_CHECKING:
    from beadcheck.limits import LimitSet

EXAMPLES: Final = """Examples:

\b
  beadcheck limits
  beadcheck limits pipe-coupon
  beadcheck limits iso-5817-c api-1104 --pipe "NPS 8 SCH 60" --width 19.8 --pass cap
  beadcheck limits --wall 10 --width 14 --pass cap --inch
"""
_NARROWEST_MM: Final = 0.1
_WIDEST_MM: Final = 200.0


def limits(
    names: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="NAME|FILE",
            help="Limit sets, or your own files to check. One is explained, several are compared.",
            show_default=False,
        ),
    ] = None,
    *,
    plate: flags.PlateFlag = False,
    pipe: flags.Pipe = None,
    outside_diameter: flags.OutsideDiameter = None,
    wall: flags.Wall = None,
    width: Annotated[
        float | None,
        typer.Option(metavar="MM", help="Width of the weld on the side of the pass."),
    ] = None,
    process: pass_flags.ProcessFlag = None,
    weld_pass: pass_flags.PassFlag = None,
    guard: flags.Guard = None,
    inch: flags.Inch = False,
) -> int:
    """List the limit sets, explain one with its sources, or compare several for a joint.

    With flags that describe a joint the limits are worked out for it, and without a name those of
    every set. A file of your own is checked: what is wrong is said with its line and the mend.
    """
    if width is not None and not _NARROWEST_MM <= width <= _WIDEST_MM:
        mend = f"Give millimetres between {_NARROWEST_MM:g} and {_WIDEST_MM:g}."
        raise BadFlagValueError("--width", f"{width:g}", mend)
    said = (plate, pipe, outside_diameter, wall, width, process, weld_pass)
    coupon = coupon_from_flags(
        plate=plate,
        pipe=pipe,
        outside_diameter_mm=outside_diameter,
        wall_thickness_mm=wall,
        process=process,
        position=None,
        progression=None,
        weld_pass=weld_pass,
        pulse=None,
    )

    # From here on NumPy and rich are needed, which help and wrong usage must not wait for.
    from beadcheck.cli import limits_shown as show
    from beadcheck.cli.guard import judging_from_flags
    from beadcheck.limits import limit_sets, load_limit_set
    from beadcheck.report.limits_worded import Joint

    joint_said = any(each not in (None, False) for each in said)
    joint = Joint(coupon=coupon, width_mm=width) if joint_said else None
    judging = judging_from_flags(guard, inch=inch)
    chosen: list[LimitSet] = [load_limit_set(name, judging) for name in names or limit_sets()]
    if not names and joint is None:
        show.list_sets(chosen)
    elif len(chosen) == 1:
        show.explain(chosen[0], joint, own=chosen[0].name not in limit_sets())
    else:
        show.compare(chosen, joint or Joint(coupon=coupon, width_mm=None))
    return MEASURED
