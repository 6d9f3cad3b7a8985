"""Do the draws of a family ask equally much? Six fixed policies answer each of them.

A policy answers without luck: as found (settings untouched, all else guessed), one of
three usual mistakes in the settings on top of the best, the borderline operator, and
the expert. What a policy is expected to score on a scenario is the mean over its parts.
Draws whose scores lie far apart are no clones of each other.

A mistake in the settings says nothing about the other parts of a scenario: there its
policy scores the par, as the borderline operator does; as found scores what chance
gives, and the expert all of it.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from statistics import fmean
from typing import Any

from academy import units
from academy.catalog import borderline
from academy.records.queries.stock import Draft, PartDraft
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service import marking

APART = 0.06  # how far a draw's score may lie from the family's mean [1]
WINDOW = 0.05  # and from the centre told in content, whose own doubt is the rest [1]
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


_SETTINGS: Mapping[str, Policy] = {
    "as_found": _as_found,
    "too_fast": _times("ground_speed", "too_fast"),
    "reel_fast": _times("reel_rate", "reel_fast"),
    "cut_high": _cut_high,
    "expert": _best,
}
POLICIES = (*_SETTINGS, "borderline")


def _answer(settings: Settings, facts: Facts) -> dict[str, Any]:
    """Settings as typed, none beyond its control."""
    typed = {}
    for name, value in settings.items():
        control = conditions.range_of(facts, name)
        low, high, _ = control.si()
        inside = min(max(value, low), high)
        typed[name] = [float(units.from_si(inside, control.unit)), control.unit]
    return {"controls": typed}


def _elsewhere(policy: str, part: PartDraft) -> float:
    """Expected score on a part that is no set-up."""
    if policy == "as_found":
        return part.floor
    return 1.0 if policy == "expert" else part.par


def _score(
    policy: str, part: PartDraft, stored: Mapping[str, Any], facts: Facts
) -> float:
    """Expected score of a policy on one part."""
    if part.kind != "set-up" or policy not in _SETTINGS:
        return _elsewhere(policy, part)
    settings = _SETTINGS[policy](stored, facts)
    return marking.mark(stored, facts, _answer(settings, facts)).score


def scores(draft: Draft) -> dict[str, float]:
    """Expected score of each policy on one draw: the mean over all of its parts."""
    payload = json.loads(draft.payload)
    pairs = list(zip(draft.parts, payload["parts"], strict=True))
    return {
        policy: fmean(
            _score(policy, part, stored, payload["facts"]) for part, stored in pairs
        )
        for policy in POLICIES
    }


def means(drafts: Sequence[Draft]) -> dict[str, float]:
    """Mean expected score of each policy over some draws of a family."""
    each = [scores(draft) for draft in drafts]
    return {name: fmean(one[name] for one in each) for name in POLICIES if each}


def apart(drafts: Sequence[Draft]) -> dict[str, float]:
    """How far the draw farthest off lies from the family's mean, by policy."""
    each, middle = [scores(draft) for draft in drafts], means(drafts)
    return {
        name: max(abs(one[name] - centre) for one in each)
        for name, centre in middle.items()
    }


def within(draft: Draft, centre: Mapping[str, float]) -> bool:
    """Whether a draw lies within the window round a family's own centre.

    ``centre`` holds expected scores by policy; policies it does not name are free.
    """
    if not centre:
        return True
    told = scores(draft)
    return all(abs(told[name] - value) <= WINDOW for name, value in centre.items())
