"""Stopping when the scenarios that remain cannot change the verdict."""

from dataclasses import dataclass
from functools import lru_cache

from academy.catalog.assessment import Bar
from academy.catalog.competence import CompetenceModel
from academy.competence import decision
from academy.competence.belief import Scored
from academy.competence.item_curve import design_weight, item_for


@dataclass(frozen=True, slots=True)
class Reach:
    """Most evidence one scenario can bring, and the most it can take (both >= 0)."""

    gain: float
    loss: float


@lru_cache(maxsize=64)
def reach(bar: Bar, model: CompetenceModel) -> Reach:
    """What one scenario can do at most, its parts being neither too hard nor too easy.

    A right answer brings most on the hardest part, a wrong one takes most on the
    easiest, and chance floors lessen both.
    """
    weight = design_weight(bar.most_parts, model.part_correlation)
    hardest = item_for(bar.hardest_par, 0.0, model)
    easiest = item_for(bar.easiest_par, 0.0, model)
    gain = decision.evidence([Scored(hardest, 1.0, weight)], bar)
    loss = -decision.evidence([Scored(easiest, 0.0, weight)], bar)
    return Reach(gain, loss)


def settled(total: float, scenarios: int, bar: Bar, most: Reach) -> decision.Verdict:
    """The verdict that stands whatever follows; "more" while it is open.

    Nobody is judged before the fewest scenarios.
    """
    said = decision.verdict(total, scenarios, bar)
    left = bar.most_scenarios - scenarios
    if said != "more" or scenarios < bar.least_scenarios:
        return said
    best, worst = total + left * most.gain, total - left * most.loss
    if best < min(bar.last_evidence, decision.pass_limit(bar)):
        return "fail"
    if worst >= bar.last_evidence and worst > decision.fail_limit(bar):
        return "pass"
    return "more"
