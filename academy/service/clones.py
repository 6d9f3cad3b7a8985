"""Do the draws of a family ask equally much? Fixed policies answer all of its set-ups.

A policy is a way to answer without luck: the machine as found, one of three usual
mistakes on top of the best settings, the borderline operator (the stored par), and the
best settings. Draws whose scores lie far apart are no clones of each other.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from statistics import fmean
from typing import Any

from academy import units
from academy.catalog import borderline
from academy.records.queries.stock import Draft
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service import marking

APART = 0.06  # how far a draw's score may lie from the family's mean [1]
Settings = dict[str, float]  # SI, by control
Policy = Callable[[Mapping[str, Any], Facts], Settings]


def _mistake(name: str) -> float:
    return borderline.load().mistakes[name].value


def _best(part: Mapping[str, Any], facts: Facts) -> Settings:
    del facts
    return {name: float(part["best"][name]) for name in part["controls"]}


def _as_found(part: Mapping[str, Any], facts: Facts) -> Settings:
    found = conditions.as_found(facts)
    return {name: float(getattr(found, name)) for name in part["controls"]}


def _times(control: str, mistake: str) -> Policy:
    def policy(part: Mapping[str, Any], facts: Facts) -> Settings:
        best, factor = _best(part, facts), _mistake(mistake)
        return best | {n: v * factor for n, v in best.items() if n == control}

    return policy


def _cut_high(part: Mapping[str, Any], facts: Facts) -> Settings:
    """The cut a share of its range too high."""
    best = _best(part, facts)
    if "cut_height" in best:
        low, high, _ = conditions.range_of(facts, "cut_height").si()
        best["cut_height"] += _mistake("cut_high") * (high - low)
    return best


POLICIES: Mapping[str, Policy] = {
    "as_found": _as_found,
    "too_fast": _times("ground_speed", "too_fast"),
    "reel_fast": _times("reel_rate", "reel_fast"),
    "cut_high": _cut_high,
    "expert": _best,
}


def _answer(settings: Settings, facts: Facts) -> dict[str, Any]:
    """Settings as typed, none beyond its control."""
    typed = {}
    for name, value in settings.items():
        control = conditions.range_of(facts, name)
        low, high, _ = control.si()
        inside = min(max(value, low), high)
        typed[name] = [float(units.from_si(inside, control.unit)), control.unit]
    return {"controls": typed}


def scores(draft: Draft) -> dict[str, float]:
    """Mean score of each policy over the set-ups of one draw; empty without any."""
    payload = json.loads(draft.payload)
    facts = payload["facts"]
    asked = [part for part in payload["parts"] if part["kind"] == "set-up"]
    if not asked:
        return {}
    pars = [part.par for part in draft.parts if part.kind == "set-up"]
    told = {
        name: fmean(
            marking.mark(part, facts, _answer(policy(part, facts), facts)).score
            for part in asked
        )
        for name, policy in POLICIES.items()
    }
    return told | {"borderline": fmean(pars)}


def apart(drafts: Sequence[Draft]) -> dict[str, float]:
    """How far the draw farthest off lies from the family's mean, by policy."""
    each = [scores(draft) for draft in drafts]
    if not each or not each[0]:
        return {}
    return {
        name: max(abs(one[name] - fmean(other[name] for other in each)) for one in each)
        for name in each[0]
    }
