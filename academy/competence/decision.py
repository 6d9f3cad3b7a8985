"""The verdict of an assessment: evidence adds up until it is enough either way.

Wald's ratio of two chances, clearly above the line against clearly below it. Only the
answers of this assessment count: no prior, no practice, no name. Equal answers give
equal verdicts.
"""

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import Literal

import numpy as np

from academy.catalog.assessment import Bar
from academy.competence.belief import Scored
from academy.competence.item_curve import Item, expected_score
from academy.errors import OutOfRange

Verdict = Literal["pass", "fail", "more"]


def pass_limit(bar: Bar) -> float:
    """Evidence that is enough to pass."""
    return math.log((1 - bar.false_fail) / bar.false_pass)


def fail_limit(bar: Bar) -> float:
    """Evidence, below zero, that is enough to fail."""
    return math.log(bar.false_fail / (1 - bar.false_pass))


def evidence(answers: Iterable[Scored], bar: Bar) -> float:
    """Logarithm of how much likelier the answers are from above than from below."""
    return math.fsum(_of_one(answer, bar.clearly) for answer in answers)


def par(item: Item, bar: Bar) -> float:
    """Score at which an answer speaks neither for nor against."""
    right, wrong = _slopes(item, bar.clearly)
    return -wrong / (right - wrong)


def verdict(total: float, scenarios: int, bar: Bar) -> Verdict:
    """What ``total`` evidence from so many finished scenarios says.

    Nobody is judged before the fewest; after the most everybody is.
    """
    if scenarios < bar.least_scenarios:
        return "more"
    if total >= pass_limit(bar):
        return "pass"
    if total <= fail_limit(bar):
        return "fail"
    if scenarios < bar.most_scenarios:
        return "more"
    return "pass" if total >= bar.last_evidence else "fail"


def bar_for_attempt(bar: Bar, attempt: int) -> Bar:
    """The bar of the first, second, ... attempt: each doubles what a pass must show.

    So that trying often does not carry anybody over the line by luck.
    """
    if attempt < 1:
        raise OutOfRange("must_be_positive", name="attempt", value=attempt)
    before = attempt - 1
    return replace(
        bar,
        false_pass=bar.false_pass / 2**before,
        last_evidence=bar.last_evidence + before * math.log(2),
    )


def _of_one(answer: Scored, clearly: float) -> float:
    right, wrong = _slopes(answer.item, clearly)
    return answer.weight * (answer.score * right + (1 - answer.score) * wrong)


@lru_cache(maxsize=4096)
def _slopes(item: Item, clearly: float) -> tuple[float, float]:
    below, above = expected_score(np.array([-clearly, clearly]), item)
    return math.log(above / below), math.log((1 - above) / (1 - below))
