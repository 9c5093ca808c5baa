"""Heads, pressures and what temperature does to a shut-in gas."""

import math

# Water near 60 F: 62.37 lb/cu ft over 144 sq in.
PSI_PER_FOOT = 0.433
SEA_LEVEL_PSI = 14.696
ABSOLUTE_ZERO_F = -459.67


def psi_of_head(feet: float) -> float:
    """Pressure in psi at the foot of a column of water `feet` high."""
    return feet * PSI_PER_FOOT


def foot_of_head(psi: float) -> float:
    """Height in feet of the column of water that gives `psi`."""
    return psi / PSI_PER_FOOT


def atmosphere_psi(elevation_ft: float) -> float:
    """Usual pressure of the air in psi, U.S. Standard Atmosphere 1976, below 36,000 ft.

    The weather moves it by some 2 percent either way.
    """
    return SEA_LEVEL_PSI * math.pow(1 - 6.8756e-6 * elevation_ft, 5.2559)


def explained_end(
    *, start_psig: float, start_f: float, end_f: float, elevation_ft: float = 0
) -> float:
    """Gauge pressure that a tight pipe shows at the end, from temperature alone.

    Ideal gas in a fixed volume: absolute pressure follows absolute temperature.
    Pressures in psig, temperatures of the gas in F. Raises ValueError below absolute
    zero.
    """
    warmth = [temperature - ABSOLUTE_ZERO_F for temperature in (start_f, end_f)]
    if min(warmth) <= 0:
        raise ValueError("a temperature below absolute zero cannot be right")
    outside = atmosphere_psi(elevation_ft)
    return (start_psig + outside) * warmth[1] / warmth[0] - outside


def psi_per_degree(
    *, start_psig: float, start_f: float, elevation_ft: float = 0
) -> float:
    """How many psi one degree F moves a shut-in gas."""
    absolute = start_psig + atmosphere_psi(elevation_ft)
    return absolute / (start_f - ABSOLUTE_ZERO_F)
