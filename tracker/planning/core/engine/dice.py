# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""Chance that is the same on every machine: xorshift64* on one stored number."""

from typing import Any

import numpy as np

from . import columns as k
from .compiled import compiled

_A, _B, _C = np.uint64(12), np.uint64(25), np.uint64(27)
_TIMES, _DOWN = np.uint64(2685821657736338717), np.uint64(33)
_TOP = 1.0 / (1 << 31)


@compiled
def roll(live: k.Live) -> Any:
    """A whole number below 2^31."""
    state = np.uint64(live.counters[k.DICE])
    state ^= state >> _A
    state ^= state << _B
    state ^= state >> _C
    live.counters[k.DICE] = np.int64(state)
    return np.int64((state * _TIMES) >> _DOWN)


@compiled
def below(live: k.Live, number: int) -> int:
    """A whole number from 0 to `number` - 1."""
    return roll(live) % number


@compiled
def percent(live: k.Live) -> int:
    return roll(live) % 100


@compiled
def coin(live: k.Live) -> int:
    return roll(live) & 1


@compiled
def fraction(live: k.Live) -> float:
    """A number above 0 and at most 1."""
    return (roll(live) + 1) * _TOP


def seeded(seed: int) -> int:
    """The stored number for a seed of 0 or more; neighbouring seeds are unlike."""
    mixed = (seed + 1) * 0x9E3779B97F4A7C15 % (1 << 64)
    mixed ^= mixed >> 29
    mixed = mixed * 0xBF58476D1CE4E5B9 % (1 << 63)
    return mixed or 1
