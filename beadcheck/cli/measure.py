"""The subcommand that measures photos."""

import json as json_text
import os
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Final

import typer

from beadcheck.cli import arc_flags, flags, log_flags, many_flags, pass_flags
from beadcheck.cli.beside_file import refuse_flags_beside
from beadcheck.cli.coupon_flags import (
    coupon_from_flags,
    depth_from_flag,
    pointed_ends,
    pulse_from_flags,
    root_gap_from_flag,
)
from beadcheck.cli.failures import FOUND_OUTSIDE, MEASURED, NOT_MEASURED
from beadcheck.cli.height_flags import known_angle, known_step
from beadcheck.cli.photos import coupon_file_among
from beadcheck.cli.settings_flags import ArcFlags, range_of_current, settings_from_flags
from beadcheck.cli.streams import put, tell
from beadcheck.cli.take_flags import (
    entered_clocks,
    photos_by_kind,
    refuse_useless_references,
    step_places,
)
from beadcheck.coupon import Weave
from beadcheck.errors.command import ConflictingFlagsError, FlagNeedsFlagError

if TYPE_CHECKING:
    from pathlib import Path

    from beadcheck.result import Result

EXAMPLES: Final = """Examples:

\b
  beadcheck measure samples/plate-gtaw-pulsed.jpg --out results
  beadcheck measure samples/plate-gtaw-pulsed.jpg --limits iso-5817-c --inch
  beadcheck measure samples/plate-gtaw-pulsed.jpg --process gtaw-pulsed --peak-current 120 \
--background-current 30% --volts 11 --peak-time 0.5 --background-time 0.5 --overlap 75
  beadcheck measure samples/plate-smaw-no-target.jpg --no-target
  beadcheck measure samples/pipe-smaw-side-on.jpg --kind side-on --pipe "NPS 8"
  beadcheck measure --light-line samples/plate-gmaw-light-line.jpg --step 5
  beadcheck measure samples/pike-pipe.toml
  beadcheck measure samples/plate-gmaw-dim-shop.jpg samples/plate-gmaw-stringer.jpg --each --out day
  beadcheck measure samples/plate-gtaw-pulsed.jpg --save --person Tern --coupon "row of spots"
"""


def measure(
    context: typer.Context,
    photos: flags.Photos = None,
    *,
    kind: flags.Kind = "face",
    side_on: flags.SideOn = None,
    light_line: flags.LightLine = None,
    pair: flags.PairFlag = None,
    step: flags.Step = None,
    step_at: flags.StepAt = None,
    light_angle: flags.LightAngle = None,
    plate: flags.PlateFlag = False,
    pipe: flags.Pipe = None,
    outside_diameter: flags.OutsideDiameter = None,
    wall: flags.Wall = None,
    bore: flags.Bore = None,
    process: pass_flags.ProcessFlag = None,
    polarity: pass_flags.PolarityFlag = None,
    position: pass_flags.PositionFlag = None,
    progression: pass_flags.ProgressionFlag = None,
    weld_pass: pass_flags.PassFlag = None,
    depth: pass_flags.Depth = None,
    root_gap: pass_flags.RootGap = None,
    layer: pass_flags.Layer = None,
    bead: pass_flags.Bead = None,
    beads: pass_flags.Beads = None,
    groove_width: pass_flags.GrooveWidth = None,
    strip_side: pass_flags.StripSideFlag = None,
    clock: flags.Clock = None,
    current: arc_flags.Current = None,
    volts: arc_flags.Volts = None,
    peak_current: arc_flags.PeakCurrent = None,
    background_current: arc_flags.BackgroundCurrent = None,
    peak_volts: arc_flags.PeakVolts = None,
    background_volts: arc_flags.BackgroundVolts = None,
    power: arc_flags.Power = None,
    energy: arc_flags.Energy = None,
    current_range: arc_flags.CurrentRange = None,
    peak_time: flags.PeakTime = None,
    background_time: flags.BackgroundTime = None,
    times_are: arc_flags.TimesAreFlag = None,
    motion: arc_flags.Motion = None,
    weave: arc_flags.WeaveFlag = Weave.NONE,
    overlap: arc_flags.Overlap = None,
    run_length: arc_flags.RunLength = None,
    arc_time: arc_flags.ArcTime = None,
    limits: flags.Limits = None,
    guard: flags.Guard = None,
    target: flags.Target = None,
    no_target: flags.NoTarget = False,
    print_scale: flags.PrintScale = None,
    along: flags.Along = None,
    toes: flags.Toes = None,
    no_camera: flags.NoCamera = False,
    out: flags.Out = None,
    no_picture: flags.NoPicture = False,
    json: flags.AsJson = False,
    schema: flags.Schema = False,
    strict: flags.Strict = False,
    each: many_flags.Each = False,
    jobs: many_flags.Jobs = None,
    time_limit: many_flags.TimeLimit = many_flags.TIME_LIMIT_S,
    cluster: many_flags.Cluster = None,
    inch: flags.Inch = False,
    sectors: flags.Sectors = None,
    sheet: flags.Sheet = None,
    paper: flags.PaperFlag = "a4",
    save: log_flags.Save = False,
    person: log_flags.PersonFlag = None,
    coupon_name: log_flags.CouponFlag = None,
    measured_by: log_flags.MeasuredBy = None,
    corrects: log_flags.Corrects = None,
    log: log_flags.LogFlag = None,
) -> int:
    """Measure welds in photos: width, evenness and ripples from above, heights in three other ways.

    Each value comes with its expanded uncertainty (k = 2) and is compared with limits. A coupon
    file (.toml) in place of the photos says all of this, pass by pass. Exit code:
    0 measured; 1 a photo could not be measured; 2 wrong usage; 3 with --strict, something is
    outside.
    """
    if schema:
        return _print_schema()
    if no_picture and out is None:
        raise FlagNeedsFlagError("--no-picture", "--out")
    coupon_file = coupon_file_among(photos or ())
    keeping = log_flags.keeping_from_flags(
        save=save,
        person=person,
        coupon=coupon_name,
        measured_by=measured_by,
        corrects=corrects,
        log=log,
        person_in_file=coupon_file is not None,
        on_sheet=sheet is not None,
    )
    if coupon_file is not None:
        refuse_flags_beside(context, coupon_file)
        from beadcheck.cli.coupon_run import coupon_file_measured
        from beadcheck.cli.run import Showing
        from beadcheck.cli.sheet import sheet_order

        order = None if sheet is None else sheet_order(sheet, paper, person, coupon_name)
        showing = Showing(out=out, pictures=not no_picture, json=json, inch=False, sheet=order)
        results = coupon_file_measured(coupon_file, showing, keeping, no_camera=no_camera)
        return max(_exit_code(each, strict=strict) for each in results)
    many = many_flags.many_from_flags(
        context, each=each, jobs=jobs, time_limit_s=time_limit, cluster=cluster, out=out
    )
    if no_target:
        _refuse_target_flags(target=target, print_scale_mm=print_scale)
    groups = photos_by_kind(
        photos or (), kind, side_on=side_on or (), light_line=light_line or (), pair=pair or ()
    )
    refuse_useless_references(groups, step=step, step_at=step_at or (), light_angle=light_angle)
    places = step_places(step_at or (), groups)
    coupon = coupon_from_flags(
        plate=plate,
        pipe=pipe,
        outside_diameter_mm=outside_diameter,
        wall_thickness_mm=wall,
        bore_mm=bore,
        process=process,
        position=position,
        progression=progression,
        weld_pass=weld_pass,
        polarity=polarity,
        layer=layer,
        bead=bead,
        beads=beads,
        groove_width_mm=groove_width,
        depth=None if depth is None else depth_from_flag(depth, weld_pass),
        root_gap_range_mm=None if root_gap is None else root_gap_from_flag(root_gap, weld_pass),
        strip_side=strip_side,
        pulse=pulse_from_flags(peak_time, background_time, times_are),
    )
    typed = ArcFlags(
        current=current,
        volts=volts,
        peak_current=peak_current,
        background_current=background_current,
        peak_volts=peak_volts,
        background_volts=background_volts,
        power=power,
        energy=energy,
        run_length=run_length,
    )
    settings = settings_from_flags(typed, arc_time, motion, weave, overlap, process)
    ends = None if along is None else pointed_ends(along)

    # From here on OpenCV is needed, which help and wrong usage must not wait for.
    from beadcheck.camera import CameraBook
    from beadcheck.camera.store import camera_folder, read_book
    from beadcheck.cli.guard import judging_from_flags
    from beadcheck.cli.keep import keeper
    from beadcheck.cli.run import Showing, measured, show
    from beadcheck.cli.sheet import sheet_order
    from beadcheck.photo import PhotoKind
    from beadcheck.pipeline import Pointer, Request, takes_of
    from beadcheck.toes.hand_csv import read_hand_toes

    request = Request(
        takes=tuple(take for word, paths in groups for take in takes_of(paths, PhotoKind(word))),
        coupon=coupon,
        settings=settings,
        allowed=range_of_current(current_range),
        limits=limits,
        judging=judging_from_flags(guard, inch=inch),
        target=target,
        measured_bar_mm=print_scale,
        along=None if ends is None else Pointer(start_px=ends[0], end_px=ends[1]),
        hand={} if toes is None else read_hand_toes(toes, [p for _, ps in groups for p in ps]),
        without_target=no_target,
        step=None if step is None else known_step(step),
        light_angle=None if light_angle is None else known_angle(light_angle),
        step_places_px=places,
        clocks_deg=entered_clocks(clock or (), groups),
        sectors=sectors,
        cameras=CameraBook() if no_camera else read_book(camera_folder(os.environ)),
    )
    order = None if sheet is None else sheet_order(sheet, paper, person, coupon_name)
    showing = Showing(out=out, pictures=not no_picture, json=json, inch=inch, sheet=order)
    if many is not None:
        from beadcheck.cli.many import measured_many

        return measured_many(request, many, showing, strict=strict)
    if hint := many_flags.hint_for(len(request.photos)):
        tell(hint)
    welder = person or ""
    with keeper(keeping) as keep:
        if keep is not None and order is not None:
            since = partial(keep.since, unit=showing.unit, person=welder)
            showing = replace(showing, sheet=replace(order, since=since))
        result = measured([request], showing)
        show(result, showing)
        if keep is not None:
            by_hand = toes is not None
            keep.keep(result, request, request.photos, showing.unit, by_hand=by_hand, person=welder)
    return _exit_code(result, strict=strict)


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
