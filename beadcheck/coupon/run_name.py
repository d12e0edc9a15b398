"""What a pass is called where nobody names it."""

from beadcheck.coupon.shape import WeldPass


def run_name(weld_pass: WeldPass | str | None, layer: int | None, bead: int | None) -> str:
    """Name that tells the passes of one coupon apart; "" where nothing is said of the pass.

    Examples
    --------
    >>> run_name(WeldPass.CAP, None, None), run_name(WeldPass.FILL, 3, 2), run_name(None, 1, None)
    ('cap', 'fill, layer 3, bead 2', 'layer 1')
    """
    words = [] if weld_pass is None else [str(weld_pass)]
    words += [f"{what} {count}" for what, count in (("layer", layer), ("bead", bead)) if count]
    return ", ".join(words)
