"""Settings marked by regret: the share of the avoidable loss that was recovered."""

from academy.errors import OutOfRange
from academy.grading.mark import Mark


def regret_score(regret: float, r0: float, r1: float) -> float:
    """Score of a regret, all in the same money per area.

    1 up to ``r1`` (what the model itself cannot tell apart), 0 from ``r0`` (the machine
    as found), a straight line between: the problem is linear in money, and the surface
    is flat near the best anyway. Raises OutOfRange unless 0 <= r1 < r0.
    """
    if not 0 <= r1 < r0:
        raise OutOfRange("regrets_out_of_order", value=r1)
    return min(1.0, max(0.0, (r0 - regret) / (r0 - r1)))


def mark_settings(regret: float, r0: float, r1: float, violations: list[str]) -> Mark:
    """Mark of a set-up; a hard limit that is broken scores nothing."""
    detail = {"regret": regret, "recovered": (r0 - regret) / (r0 - r1)}
    if violations:
        return Mark(0.0, "limit_broken", detail=detail | {"violations": violations})
    score = regret_score(regret, r0, r1)
    reason = "full" if score >= 1 else "worse_than_found" if regret > r0 else "partly"
    return Mark(round(score, 4), reason, detail=detail)
