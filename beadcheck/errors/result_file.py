"""Refusals of a result that is read back."""

from beadcheck.errors.base import InputFileError


class NotAResultError(InputFileError):
    """The text is no result at all."""

    code = "not_a_result"
    problem = "This is not a beadcheck result: {detail}."
    remedy = "Give the result.json that beadcheck measure wrote."

    def __init__(self, detail: str) -> None:
        super().__init__(detail)
        self.detail = detail


class WrongResultError(InputFileError):
    """A key of the result is missing or of the wrong kind."""

    code = "wrong_result"
    problem = "The result cannot be read at {place}: {detail}."
    remedy = "Measure the photo again; the file was changed by hand or is damaged."

    def __init__(self, place: str, detail: str) -> None:
        super().__init__(place, detail)
        self.place, self.detail = place, detail
