"""Take after take, and their results as one."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from beadcheck.limits import LimitSet
from beadcheck.photo import PhotoKind, read_photo
from beadcheck.photo_advice import PhotoAdvice, photo_advice, photo_advice_without_target
from beadcheck.pipeline.above_take import above_take
from beadcheck.pipeline.depth_seen import with_depth_seen
from beadcheck.pipeline.join import join
from beadcheck.pipeline.outcome import Outcome, limit_set_of, result_of
from beadcheck.pipeline.pair_take import pair_take
from beadcheck.pipeline.request import MeasuredTake, Request, Take
from beadcheck.pipeline.section_take import section_take
from beadcheck.pipeline.solved import designs_of
from beadcheck.result import Result
from beadcheck.side_by_side import in_turn
from beadcheck.target.design import TargetDesign

MEASURES: Final = {
    PhotoKind.FACE: above_take,
    PhotoKind.SIDE_ON: section_take,
    PhotoKind.LIGHT_LINE: section_take,
    PhotoKind.PAIR: pair_take,
}


def measure(request: Request) -> Result:
    """Measure every take of the request, as one coupon."""
    (request,) = with_depth_seen([request])
    results = [measured.result for measured in measure_each(request)]
    return joined(results, request)


def joined(results: Sequence[Result], request: Request) -> Result:
    """Join the results of takes as the coupon that a request describes."""
    return join(
        results,
        coupon=request.coupon,
        limits=request.limits,
        judging=request.judging,
        settings=request.settings,
        allowed=request.allowed,
        sectors=request.sectors,
    )


def measure_each(request: Request) -> Iterator[MeasuredTake]:
    """Measure the takes, handed out in their order; a photo's refusal becomes its `problems`.

    Several are measured at once where OpenCV may use several threads.

    Raises
    ------
    InputFileError
        The target file or the limit file is broken; nothing was measured.
    """
    limit_set = limit_set_of(request)
    designs = designs_of(request)

    def measured(take: Take) -> MeasuredTake:
        return _measured(take, request, designs, limit_set)

    return in_turn(measured, request.takes)


def look_at(path: Path, request: Request) -> tuple[PhotoAdvice, ...]:
    """Advice on one photo before it is measured as asked for, most harmful first.

    Raises
    ------
    BeadcheckError
        The photo cannot be read, or the target file is broken.
    """
    designs = designs_of(request)
    take = next((take for take in request.takes if path in take.photos), None)
    if take is not None and MEASURES[take.kind] is section_take:
        return _section_advice(section_take(take, request, designs).outcome)
    photo = read_photo(path)
    if request.without_target:
        return photo_advice_without_target(photo)
    return photo_advice(photo, designs, request.coupon)


def _section_advice(outcome: Outcome) -> tuple[PhotoAdvice, ...]:
    """What became of a section: measuring it takes no longer than any look that tells as much."""
    (record,) = outcome.photos
    return tuple(
        PhotoAdvice(
            code=problem.code, message=problem.message, stops=index == 0 and not record.usable
        )
        for index, problem in enumerate(record.problems)
    )


def _measured(
    take: Take, request: Request, designs: Sequence[TargetDesign], limit_set: LimitSet
) -> MeasuredTake:
    measured = MEASURES[take.kind](take, request, designs)
    return MeasuredTake(
        take=take,
        photos=measured.photos,
        result=_with_clocks(result_of(measured.outcome, request, limit_set), take, request),
        height_map=measured.height_map,
    )


def _with_clocks(result: Result, take: Take, request: Request) -> Result:
    """Add the clock positions that somebody entered for the photos of a take."""
    return replace(
        result,
        photos=tuple(
            replace(photo, clock_deg=request.clocks_deg.get(path))
            for photo, path in zip(result.photos, take.photos, strict=True)
        ),
    )
