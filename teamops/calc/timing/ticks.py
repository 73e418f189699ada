"""The plan's clock: whole ticks of a quarter of a minute."""

import math

TICK_SECONDS = 15
PER_MINUTE = 60 // TICK_SECONDS
GRAIN = 1e-9  # of a tick: what a minute written as a float may be off


def ticks_up(minutes: float) -> int:
    """Whole ticks that hold so many minutes: for durations and least gaps, rounded up. [ticks]"""
    return math.ceil(_finite(minutes) * PER_MINUTE - GRAIN)


def ticks_down(minutes: float) -> int:
    """Whole ticks inside so many minutes: for most gaps and caps, rounded down. [ticks]"""
    return math.floor(_finite(minutes) * PER_MINUTE + GRAIN)


def minutes_of(ticks: float) -> float:
    """Ticks as minutes. [min]"""
    return ticks / PER_MINUTE


def _finite(minutes: float) -> float:
    if not math.isfinite(minutes):
        raise ValueError(f"minutes must be a finite number, got {minutes}")
    return minutes
