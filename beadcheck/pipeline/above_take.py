"""A photo from above as a take: of a weld, or of the joint before it is welded."""

from collections.abc import Sequence

from beadcheck.coupon import WeldPass
from beadcheck.pipeline.face_take import face_take
from beadcheck.pipeline.fit_up_take import fit_up_take
from beadcheck.pipeline.outcome import Measured
from beadcheck.pipeline.request import Request, Take
from beadcheck.target.design import TargetDesign


def above_take(take: Take, request: Request, designs: Sequence[TargetDesign]) -> Measured:
    """Measure one photo as the pass asks for; its refusal becomes a problem of it."""
    if request.coupon.weld_pass is WeldPass.FIT_UP:
        return fit_up_take(take, request, designs)
    return face_take(take, request, designs)
