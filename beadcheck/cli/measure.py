"""The subcommand that measures photos."""

import json as json_text
from typing import TYPE_CHECKING, Final

from beadcheck.cli import flags
from beadcheck.cli.coupon_flags import coupon_from_flags, pointed_ends, pulse_from_flags
from beadcheck.cli.failures import FOUND_OUTSIDE, MEASURED, NOT_MEASURED
from beadcheck.cli.photos import photo_paths
from beadcheck.cli.streams import put
from beadcheck.errors.command import (
    ConflictingFlagsError,
    FlagNeedsFlagError,
    KindNotMeasuredError,
)

if TYPE_CHECKING:
    from pathlib import Path

    from beadcheck.result import Result

EXAMPLES: Final = """Examples:

\b
  beadcheck measure samples/plate-gtaw-pulsed.jpg --out results
  beadcheck measure samples/plate-gtaw-pulsed.jpg --limits iso-5817-c --inch
  beadcheck measure samples/plate-smaw-no-target.jpg --no-target
"""


def measure(
    photos: flags.Photos = None,
    *,
    kind: flags.Kind = "face",
    plate: flags.PlateFlag = False,
    pipe: flags.Pipe = None,
    outside_diameter: flags.OutsideDiameter = None,
    wall: flags.Wall = None,
    process: flags.ProcessFlag = None,
    position: flags.PositionFlag = None,
    progression: flags.ProgressionFlag = None,
    weld_pass: flags.PassFlag = None,
    peak_time: flags.PeakTime = None,
    background_time: flags.BackgroundTime = None,
    limits: flags.Limits = None,
    target: flags.Target = None,
    no_target: flags.NoTarget = False,
    print_scale: flags.PrintScale = None,
    along: flags.Along = None,
    toes: flags.Toes = None,
    out: flags.Out = None,
    no_picture: flags.NoPicture = False,
    json: flags.AsJson = False,
    schema: flags.Schema = False,
    strict: flags.Strict = False,
    inch: flags.Inch = False,
) -> int:
    """Measure weld width, evenness, ripple spacing and pulse overlap in photos.

    Each value comes with its expanded uncertainty (k = 2) and is compared with limits. Exit code:
    0 measured; 1 a photo could not be measured; 2 wrong usage; 3 with --strict, something is
    outside.
    """
    if schema:
        return _print_schema()
    if kind != "face":
        raise KindNotMeasuredError(kind)
    if no_picture and out is None:
        raise FlagNeedsFlagError("--no-picture", "--out")
    if no_target:
        _refuse_target_flags(target=target, print_scale_mm=print_scale)
    paths = photo_paths(photos or ())
    coupon = coupon_from_flags(
        plate=plate,
        pipe=pipe,
        outside_diameter_mm=outside_diameter,
        wall_thickness_mm=wall,
        process=process,
        position=position,
        progression=progression,
        weld_pass=weld_pass,
        pulse=pulse_from_flags(peak_time, background_time),
    )
    ends = None if along is None else pointed_ends(along)

    # From here on OpenCV is needed, which help and wrong usage must not wait for.
    from beadcheck.cli.run import Showing, measured_and_shown
    from beadcheck.pipeline import Pointer, Request
    from beadcheck.toes.hand_csv import read_hand_toes

    request = Request(
        photos=paths,
        coupon=coupon,
        limits=limits,
        target=target,
        measured_bar_mm=print_scale,
        along=None if ends is None else Pointer(start_px=ends[0], end_px=ends[1]),
        hand={} if toes is None else read_hand_toes(toes, paths),
        without_target=no_target,
    )
    showing = Showing(out=out, pictures=not no_picture, json=json, inch=inch)
    return _exit_code(measured_and_shown(request, showing), strict=strict)


def _refuse_target_flags(*, target: "Path | None", print_scale_mm: float | None) -> None:
    why = "one says that there is no target"
    if target is not None:
        raise ConflictingFlagsError("--no-target", "--target", why)
    if print_scale_mm is not None:
        raise ConflictingFlagsError("--no-target", "--print-scale", why)


def _print_schema() -> int:
    from beadcheck.result import result_schema

    put(json_text.dumps(result_schema(), indent=2))
    return MEASURED


def _exit_code(result: "Result", *, strict: bool) -> int:
    if not all(photo.usable for photo in result.photos):
        return NOT_MEASURED
    if strict and any(check.finding == "outside" for check in result.checks):
        return FOUND_OUTSIDE
    return MEASURED
