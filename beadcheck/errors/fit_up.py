"""Refusals of an open joint."""

from beadcheck.errors.base import BeadError


class NoOpeningFoundError(BeadError):
    """Nothing beside the target looks like an open joint."""

    code = "no_opening_found"
    problem = "No open joint was found beside the target."
    remedy = (
        "Lay something dark under the joint, light both bevels evenly, hold the phone square above "
        "the opening, and retake the photo; or choose the pass that it shows."
    )


class OpeningUnclearError(BeadError):
    """The edges of the opening are not clear over enough of its length."""

    code = "opening_unclear"
    problem = "The edges of the root opening are clear at only {sure} of {total} stations."
    remedy = (
        "Lay something dark under the joint, light both bevels evenly, come closer, and retake the "
        "photo."
    )

    def __init__(self, sure: int, total: int) -> None:
        super().__init__(sure, total)
        self.sure, self.total = sure, total
