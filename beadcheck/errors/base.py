"""The family of refusals: what is wrong, then what to do."""

from typing import ClassVar


class BeadcheckError(Exception):
    """A refusal that a person can act on.

    A subclass stands for one situation. It sets `code`, `problem` and `remedy`; the braces in
    `problem` and `remedy` name its attributes. It passes its own arguments on to `Exception`, so
    that it crosses from a worker process whole.
    """

    code: ClassVar[str] = "beadcheck"
    problem: ClassVar[str] = "Something is wrong."
    remedy: ClassVar[str] = ""

    @property
    def reason(self) -> str:
        """What is wrong, in one sentence."""
        return self.problem.format_map(vars(self))

    @property
    def how_to(self) -> str:
        """What to do about it, in one sentence."""
        return self.remedy.format_map(vars(self))

    def __str__(self) -> str:
        return f"{self.reason} {self.how_to}".strip()


class PhotoError(BeadcheckError):
    """The photo itself cannot be used."""


class TargetError(BeadcheckError):
    """The printed target cannot be used in this photo."""


class SurfaceError(BeadcheckError):
    """The surface cannot be solved from the target."""


class BeadError(BeadcheckError):
    """No weld, or no toes, can be found."""


class ProfileError(BeadcheckError):
    """These photos do not show the height of the weld."""


class CameraError(BeadcheckError):
    """The camera cannot be calibrated from these photos."""


class InputFileError(BeadcheckError):
    """A file that the user wrote (target, limits) is broken."""


class SettingError(BeadcheckError):
    """A setting that the user gave makes no sense."""


class LogError(BeadcheckError):
    """The log of measurements cannot be used, or refuses what is asked of it."""
