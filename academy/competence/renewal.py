"""Renewing a certificate: a shorter assessment that starts with some credit.

The credit is what earlier answers, faded until today, say for the person; a cap keeps
it from deciding alone. It never counts at the safety gate.
"""

import math
from dataclasses import replace

from academy.catalog.assessment import Again, Bar
from academy.errors import OutOfRange


def starting_credit(chance_today: float, again: Again) -> float:
    """Evidence to start with: ln(P / (1 - P)), from 0 to the logarithm of the cap.

    ``chance_today`` is the chance to be at or above the line, faded until today.
    Raises OutOfRange unless it is a fraction.
    """
    if not 0 <= chance_today <= 1:
        raise OutOfRange("must_be_a_fraction", name="chance", value=chance_today)
    cap = math.log(again.odds)
    if chance_today >= again.odds / (1 + again.odds):
        return cap
    if chance_today <= 0.5:
        return 0.0
    return min(math.log(chance_today / (1 - chance_today)), cap)


def bar_again(bar: Bar, again: Again) -> Bar:
    """The bar of an attempt with the lengths of a renewal; all else stays."""
    return replace(
        bar,
        least_scenarios=again.least_scenarios,
        most_scenarios=again.most_scenarios,
    )
