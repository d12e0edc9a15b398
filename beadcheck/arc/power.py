"""Mean current and mean power of a pulsed arc."""


def mean_current_a(peak_a: float, background_a: float, peak_share: float) -> float:
    """Current averaged over the pulse cycle, in ampere: D I_p + (1 - D) I_b.

    Parameters
    ----------
    peak_share
        D, the part of the cycle that is peak, as a ratio.

    Notes
    -----
    The time average of a square wave; power source manuals relate average, peak and balance so
    (formula from memory, consistent with what a manual prints).

    Examples
    --------
    >>> mean_current_a(140.0, 60.0, 0.25)
    80.0
    """
    return peak_share * peak_a + (1.0 - peak_share) * background_a


def background_from_percent_a(peak_a: float, percent: float) -> float:
    """Background current, in ampere, of a machine that sets it in percent of the peak.

    Examples
    --------
    >>> background_from_percent_a(120.0, 25.0)
    30.0
    """
    return peak_a * percent / 100.0


def mean_power_w(
    peak_a: float, peak_v: float, background_a: float, background_v: float, peak_share: float
) -> float:
    """Power averaged over the pulse cycle, in watt: D I_p U_p + (1 - D) I_b U_b.

    The mean of the product, as ISO/TR 18491 and ASME IX QW-409.1 want it for an arc whose current
    is shaped; the product of the means is another number where the volts differ too.

    Examples
    --------
    >>> mean_power_w(140.0, 12.0, 60.0, 9.0, 0.25)
    825.0
    """
    return peak_share * peak_a * peak_v + (1.0 - peak_share) * background_a * background_v
