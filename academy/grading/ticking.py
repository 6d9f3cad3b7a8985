"""Several to tick: hits less false ticks, and what blind ticking would earn."""

from collections.abc import Collection
from functools import lru_cache
from math import comb

from academy.grading.mark import Mark


def ticking_score(hits: int, wanted: int, false: int, unwanted: int) -> float:
    """Hit rate less false-alarm rate, not below 0; both counts above zero."""
    return max(0.0, hits / wanted - false / unwanted)


@lru_cache(maxsize=64)
def chance_floor(wanted: int, unwanted: int) -> float:
    """Expected score of a coin thrown for every box, exactly."""
    total = 0.0
    for hits in range(wanted + 1):
        for false in range(unwanted + 1):
            ways = comb(wanted, hits) * comb(unwanted, false)
            total += ways * ticking_score(hits, wanted, false, unwanted)
    return float(total / 2 ** (wanted + unwanted))


def mark_ticks(
    ticked: Collection[str],
    wanted: Collection[str],
    unwanted: Collection[str],
    critical: Collection[str],
) -> Mark:
    """Mark of ticked boxes; a critical one left out scores nothing."""
    hits = [key for key in wanted if key in ticked]
    false = [key for key in unwanted if key in ticked]
    missed = [key for key in wanted if key not in ticked]
    detail = {"missed": missed, "false": false}
    if any(key in critical for key in missed):
        return Mark(0.0, "critical_finding", critical_miss=True, detail=detail)
    score = ticking_score(len(hits), len(wanted), len(false), len(unwanted))
    full = not missed and not false
    return Mark(round(score, 4), "full" if full else "ticks_partly", detail=detail)
