"""Places along the whole weld as clock positions, in degrees and in words."""

from dataclasses import dataclass

from beadcheck.units import wrapped_degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """How places along the weld are told: round a pipe by the clock, on plate by mm.

    Attributes
    ----------
    length_mm
        Girth of the pipe, or length of the plate's weld.
    sense
        1 where the clock grows with the place, else -1; 0 on plate.
    """

    length_mm: float
    sense: int

    def degrees(self, arc_mm: float) -> float | None:
        """Clock position in degrees from 12 o'clock; None on plate.

        Examples
        --------
        >>> Clock(length_mm=600.0, sense=1).degrees(650.0)
        30.0
        """
        if self.sense == 0:
            return None
        return wrapped_degrees(self.sense * 360.0 * arc_mm / self.length_mm)

    def words(self, arc_mm: float) -> str:
        """Place in words: hours of the clock to the nearest five minutes, or mm.

        Examples
        --------
        >>> clock = Clock(length_mm=600.0, sense=1)
        >>> clock.words(0.0), clock.words(125.0), clock.words(599.0)
        ("12 o'clock", "2:30 o'clock", "12 o'clock")
        """
        degrees = self.degrees(arc_mm)
        if degrees is None:
            return f"{arc_mm:.0f} mm"
        minutes = 5 * round(degrees * 2.0 / 5.0) % 720
        hour, minute = divmod(minutes, 60)
        told = f"{hour or 12}" if minute == 0 else f"{hour or 12}:{minute:02d}"
        return f"{told} o'clock"
