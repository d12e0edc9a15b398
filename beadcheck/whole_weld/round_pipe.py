"""Photos round a pipe: each where its strip's markers put it, the strip closed on itself."""

import math

from beadcheck.result import Result
from beadcheck.whole_weld.belong import belonging
from beadcheck.whole_weld.closure import closure_of, known_of
from beadcheck.whole_weld.curved import curved_of
from beadcheck.whole_weld.laid import Laid, Round
from beadcheck.whole_weld.merge import Placed
from beadcheck.whole_weld.place import U_READ_MM, strip_of
from beadcheck.whole_weld.view import views_of


def round_pipe(
    result: Result, entered_mm: float, *, u_bore_ratio: float | None = None
) -> Laid | None:
    """Lay photos of one strip round their pipe; None unless two show weld and strip.

    Parameters
    ----------
    entered_mm
        Diameter under the strip as entered: the outside one, or the bore.
    u_bore_ratio
        Relative standard uncertainty of a bore; None where the strip lies outside.
    """
    framed = [view for view in views_of(result) if view.frame.turn_mm is not None]
    if len(framed) < 2:
        return None
    sorted_out = belonging(framed, turn_mm=framed[0].frame.turn_mm)
    views = sorted_out.views
    known = known_of(views, entered_mm, u_bore_ratio=u_bore_ratio)
    curved = curved_of(views)
    turn_mm = views[0].frame.turn_mm or math.pi * entered_mm
    # Without a photo of the seam curvature tells the turn, else what is known of pipe and print.
    u_before = turn_mm * math.hypot(known.u_diameter_ratio, known.u_print_ratio)
    excess_mm, u_excess_mm = math.pi * entered_mm - turn_mm, u_before
    if curved is not None:
        own = 1.0 / u_before**2, 1.0 / (math.pi * curved.u_mm) ** 2
        seen_mm = math.pi * curved.diameter_mm - turn_mm
        excess_mm = (own[0] * excess_mm + own[1] * seen_mm) / sum(own)
        u_excess_mm = 1.0 / math.sqrt(sum(own))
    strip = strip_of(views, excess_mm=excess_mm, u_excess_mm=u_excess_mm)
    closure = closure_of(strip, curved, known)
    placed = []
    for view in views:
        offset_mm, u_mm = strip.offset_mm(view.frame.parts[0])
        placed.append(
            Placed(
                view=view,
                offset_mm=offset_mm,
                u_offset_mm=math.hypot(u_mm, U_READ_MM, closure.u_place_mm),
                scale_ratio=closure.scale_ratio,
            )
        )
    return Laid(
        placed=tuple(placed),
        left_out=sorted_out.left_out,
        length_mm=closure.length_mm,
        u_length_mm=closure.u_length_mm,
        u_scale_ratio=closure.u_scale_ratio,
        clock_sense=views[0].frame.clock_sense,
        round=Round(strip=strip, curved=curved, closure=closure),
    )
