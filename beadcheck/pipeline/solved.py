"""The target of a photo, and the surface under it, for every kind of photo."""

from beadcheck.photo import Photo
from beadcheck.pipeline.request import Request
from beadcheck.surface import SolvedSurface, print_scale, solve_surface
from beadcheck.target.catalogue import default_targets
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget
from beadcheck.target.read import read_target


def designs_of(request: Request) -> tuple[TargetDesign, ...]:
    """Return the targets that may be in view.

    Raises
    ------
    InputFileError
        The target file is broken.
    """
    if request.without_target:
        return ()
    if request.target is not None:
        return (read_target(request.target),)
    return default_targets(request.coupon)


def solved_surface(found: FoundTarget, photo: Photo, request: Request) -> SolvedSurface:
    """Solve the base metal's surface from the target found in a photo.

    Raises
    ------
    SurfaceError
        The target lies so that nothing can be measured by it.
    """
    printed = print_scale(found.design, request.measured_bar_mm)
    return solve_surface(found, photo, request.coupon, printed, cameras=request.cameras)
