"""Arc energy and heat input for each millimetre of weld.

ISO/TR 18491 knows three ways to the arc energy: (A) volts times current over speed, for a steady
arc; (B) measured instantaneous energy over length; (C) mean instantaneous power over speed. ISO and
EN call the arc energy times the efficiency of the process *heat input*; AWS and ASME IX give the
name heat input to the arc energy itself, without a factor. The three ways and both uses of the
name: verified in public text; the formulae of (B) and (C): from memory.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.coupon import Process

J_PER_KJ: Final = 1000.0

THERMAL_EFFICIENCY: Final[Mapping[Process, float]] = MappingProxyType(
    {
        Process.GTAW: 0.6,
        Process.GTAW_PULSED: 0.6,
        Process.SMAW: 0.8,
        Process.GMAW: 0.8,
    }
)
"""k of each process, a ratio (EN 1011-1, ISO/TR 17671-1; verified in public text).

A convention without an uncertainty: what really reaches the metal differs from weld to weld.
"""


def arc_energy_of_power_kj_per_mm(power_w: float, speed_mm_s: float) -> float:
    """Arc energy, in kJ/mm: power over travel speed (ways A and C).

    Examples
    --------
    >>> arc_energy_of_power_kj_per_mm(24.0 * 180.0, 5.0)
    0.864
    """
    return power_w / (J_PER_KJ * speed_mm_s)


def arc_energy_of_run_kj_per_mm(energy_kj: float, length_mm: float) -> float:
    """Arc energy, in kJ/mm: energy that the machine counted over the length of the run (way B).

    Examples
    --------
    >>> arc_energy_of_run_kj_per_mm(129.6, 150.0)
    0.864
    """
    return energy_kj / length_mm


def heat_input_kj_per_mm(arc_energy_kj_per_mm: float, efficiency: float) -> float:
    """Heat input as EN 1011-1 means it, in kJ/mm: Q = k E.

    Examples
    --------
    >>> round(heat_input_kj_per_mm(0.864, THERMAL_EFFICIENCY[Process.SMAW]), 3)
    0.691
    """
    return efficiency * arc_energy_kj_per_mm
