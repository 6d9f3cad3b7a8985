"""The answers of somebody who only just passes by points, on questions that were asked.

A person may decide on an appeal that an assessment was passed. What was answered then
says nothing good of the level, and what the person who decided knows is no figure. So
such a pass counts for as much as the weakest pass that the rule itself gives: all the
scenarios that may be asked, and after the last one exactly the evidence that is still
enough.
"""

from collections.abc import Sequence
from dataclasses import replace

from academy.catalog.assessment import Bar
from academy.competence import decision
from academy.competence.belief import Scored


def least_pass(asked: Sequence[Scored], scenarios: int, bar: Bar) -> list[Scored]:
    """What was ``asked`` in so many ``scenarios``, scored so that it just passes.

    Each part counts as often as it would if questions like these filled the longest
    assessment, and lies the same share above its par. Nothing known before counts. The
    scores that were given play no part.
    """
    often = bar.most_scenarios / max(scenarios, 1)
    at_par = [
        replace(one, score=decision.par(one.item, bar), weight=one.weight * often)
        for one in asked
    ]
    worth = _evidence_of_a_point(at_par, bar)
    above = bar.last_evidence / worth if worth else 0.0
    return [replace(one, score=min(one.score + above, 1.0)) for one in at_par]


def _evidence_of_a_point(at_par: Sequence[Scored], bar: Bar) -> float:
    """What the evidence gains when the score of every part gains one."""
    right = decision.evidence((replace(one, score=1.0) for one in at_par), bar)
    wrong = decision.evidence((replace(one, score=0.0) for one in at_par), bar)
    return right - wrong
