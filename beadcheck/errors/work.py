"""What can befall work that is done in a process of its own."""

from beadcheck.errors.base import BeadcheckError


class WorkTooLongError(BeadcheckError):
    """A piece of work was stopped because its time was up."""

    code = "work_too_long"
    problem = "It took longer than {limit_s:g} s, and was stopped."
    remedy = "Make the photo smaller, or allow it more time."

    def __init__(self, limit_s: float) -> None:
        super().__init__(limit_s)
        self.limit_s = limit_s


class WorkDiedError(BeadcheckError):
    """The process in which a piece of work was done is gone."""

    code = "work_died"
    problem = "The process that worked on it died ({how})."
    remedy = "Most likely memory ran out: close other programs, or let fewer work at once."

    def __init__(self, how: str) -> None:
        super().__init__(how)
        self.how = how


class WorkFaultError(BeadcheckError):
    """The work stopped on a mistake in our own code; `details` tell where."""

    code = "work_fault"
    problem = "beadcheck stopped on a mistake of its own ({kind})."
    remedy = "Other photos are not touched by it; please report it."

    def __init__(self, kind: str, details: str) -> None:
        super().__init__(kind, details)
        self.kind, self.details = kind, details


class ProcessNotStartedError(BeadcheckError):
    """No process can be started to work in."""

    code = "process_not_started"
    problem = "No process can be started to measure in ({how})."
    remedy = "Most likely memory ran out: close other programs, or let fewer work at once."

    def __init__(self, how: str) -> None:
        super().__init__(how)
        self.how = how
