"""What limit sets ask for too, and no quantity here stands for."""

from typing import Final

from beadcheck.coupon import WeldPass

_BEGINS: Final = "Not judged from photos in this version, so look for them: "
_EVERYWHERE: Final = "cracks, lack of fusion, pores, unfilled craters, burn-through, arc strikes"
_OVERLAP: Final = "overlap at the toes (ISO 6520-1, 506)"
_IN_GROOVE: Final = "undercut inside a groove"
_OF_PASS: Final = {
    WeldPass.FIT_UP: "cracks and pores in tacks, tacks that are not fused, dirt and rust",
    WeldPass.ROOT_SIDE: (
        f"incomplete root penetration (4021), {_OVERLAP}, {_EVERYWHERE} and spatter"
    ),
    WeldPass.CAP: f"{_OVERLAP}, {_EVERYWHERE} and spatter",
}

NOT_JUDGED: Final = f"{_BEGINS}{_OVERLAP}, {_IN_GROOVE}, {_EVERYWHERE} and spatter."
"""Of all passes."""


def not_judged(weld_pass: WeldPass | None) -> str:
    """Sentence on what of this pass is not judged; of every pass, where it is not said.

    Examples
    --------
    >>> "overlap" in not_judged(WeldPass.CAP), "overlap" in not_judged(WeldPass.FILL)
    (True, False)
    """
    if weld_pass is None:
        return NOT_JUDGED
    in_groove = f"{_IN_GROOVE}, slag at its walls, {_EVERYWHERE} and spatter"
    return f"{_BEGINS}{_OF_PASS.get(weld_pass, in_groove)}."
