"""Do the draws of a family ask equally much? Six fixed policies answer each of them.

A policy answers without luck: as found (touches nothing), one of three usual mistakes
in the settings on top of the best, the borderline operator, and the expert; beside them
``chance``, who guesses everything. What a policy is expected to score on a scenario is
the mean over its parts. Draws whose scores lie far apart are no clones of each other.

A set-up is marked as the policy answers it on this very draw: there the field decides.
On a part that is chosen, a policy without luck scores 0 or 1, as the key falls, and the
keys of a family differ so that nobody learns them by heart. One "leave it" among five
draws does not make that draw easier; it is the same question with another answer. So a
fixed choice counts with the share of the family's draws that it answers rightly. What
this compares is what the field changes, not how the lot of the key fell.

- As found: "keep" of a direction and "go" of a call, by the shares that the signs and
  cases of the lot have; no tick in an inspection, and no figure, are worth nothing. The
  order as shown is a random one, and one fault of those offered is as likely as the
  next: both score what chance gives. "Leave it" and "nowhere" count by the draws' keys.
- Too fast, reel too fast, cut too high: take the one change that goes their way,
  wherever it is offered, by the draws' keys; all else scores the par. No direction that
  is asked concerns these three settings, and a sum stays the same for one who drives
  too fast.
- The borderline operator scores the par, the expert all of it.
"""

import json
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from statistics import fmean
from typing import Any

from academy import units
from academy.catalog import borderline, directions, situations
from academy.records.queries.stock import Draft, PartDraft
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service import marking

APART = 0.06  # how far a draw's score may lie from the family's mean [1]
WINDOW = 0.05  # and from the centre told in content, whose own doubt is the rest [1]
Settings = dict[str, float]  # SI, by control
Keys = Mapping[int, Mapping[str, float]]  # share of draws with this key, by place
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
POLICIES = (*_SETTINGS, "borderline", "chance")
_OWN_CHANGE = {
    "as_found": "leave_it",
    "too_fast": "drive_faster",
    "reel_fast": "reel_faster",
    "cut_high": "cut_higher",
}
_LEFT_AS_IT_IS = {"direction": "keep", "go-or-stop": "go", "find-the-leak": "nowhere"}


def _answer(settings: Settings, facts: Facts) -> dict[str, Any]:
    """Settings as typed, none beyond its control."""
    typed = {}
    for name, value in settings.items():
        control = conditions.range_of(facts, name)
        low, high, _ = control.si()
        inside = min(max(value, low), high)
        typed[name] = [float(units.from_si(inside, control.unit)), control.unit]
    return {"controls": typed}


def _fixed(choice: str, place: int, part: PartDraft, keys: Keys) -> float:
    """Share of the draws whose key is this choice; what chance gives without draws."""
    return keys[place].get(choice, 0.0) if place in keys else part.floor


def pick(policy: str, stored: Mapping[str, Any]) -> str:
    """What a policy always chooses of a part; empty where its rule says nothing."""
    if policy == "expert":
        return str(stored["key"])
    if stored["kind"] == "one-change":
        own = _OWN_CHANGE.get(policy, "")
        return own if own in stored["shown"] else ""
    return _LEFT_AS_IT_IS.get(stored["kind"], "") if policy == "as_found" else ""


def _touches_nothing(
    place: int, part: PartDraft, stored: Mapping[str, Any], keys: Keys
) -> float:
    """Of one who leaves everything as it is."""
    if part.kind in ("inspection", "number"):
        return 0.0
    if part.kind == "direction":
        signs = directions.load(stored["setting"]).signs
        return fmean(sign.direction == "keep" for sign in signs)
    if part.kind == "go-or-stop":
        cases = situations.load(stored["situation"]).cases
        return fmean(case.call == "go" for case in cases)
    if part.kind == "find-the-leak":
        return _fixed(pick("as_found", stored), place, part, keys)
    return part.floor


def _elsewhere(
    policy: str, place: int, part: PartDraft, stored: Mapping[str, Any], keys: Keys
) -> float:
    """Expected score on a part that is no set-up."""
    if part.kind == "one-change" and policy in _OWN_CHANGE and pick(policy, stored):
        return _fixed(pick(policy, stored), place, part, keys)
    if policy == "as_found":
        return _touches_nothing(place, part, stored, keys)
    fixed = {"expert": 1.0, "chance": part.floor}
    return fixed.get(policy, part.par)


def _on_settings(
    policy: str, part: PartDraft, stored: Mapping[str, Any], facts: Facts
) -> float:
    """Score on a set-up."""
    if policy not in _SETTINGS:
        return part.floor if policy == "chance" else part.par
    settings = _SETTINGS[policy](stored, facts)
    return marking.mark(stored, facts, _answer(settings, facts)).score


def scores(draft: Draft, keys: Keys | None = None) -> dict[str, float]:
    """Expected score of each policy on one draw: the mean over all of its parts.

    ``keys`` are the shares of the family's ``keys_of``, if there are other draws.
    """
    payload = json.loads(draft.payload)
    pairs = list(zip(draft.parts, payload["parts"], strict=True))
    told = {}
    for policy in POLICIES:
        told[policy] = fmean(
            _on_settings(policy, part, stored, payload["facts"])
            if part.kind == "set-up"
            else _elsewhere(policy, place, part, stored, keys or {})
            for place, (part, stored) in enumerate(pairs, start=1)
        )
    return told


def keys_of(drafts: Sequence[Draft]) -> Keys:
    """Of every part that is chosen, which share of the draws has which key."""
    counts: dict[int, Counter[str]] = {}
    for draft in drafts:
        for place, part in enumerate(json.loads(draft.payload)["parts"], start=1):
            if isinstance(part.get("key"), str):
                counts.setdefault(place, Counter())[part["key"]] += 1
    return {
        place: {key: n / len(drafts) for key, n in found.items()}
        for place, found in counts.items()
    }


def _each(drafts: Sequence[Draft]) -> list[dict[str, float]]:
    keys = keys_of(drafts)
    return [scores(draft, keys) for draft in drafts]


def means(drafts: Sequence[Draft]) -> dict[str, float]:
    """Mean expected score of each policy over some draws of a family."""
    each = _each(drafts)
    return {name: fmean(one[name] for one in each) for name in POLICIES if each}


def apart(drafts: Sequence[Draft]) -> dict[str, float]:
    """How far the draw farthest off lies from the family's mean, by policy."""
    each = _each(drafts)
    middle = {name: fmean(one[name] for one in each) for name in POLICIES if each}
    return {
        name: max(abs(one[name] - centre) for one in each)
        for name, centre in middle.items()
    }


def within(draft: Draft, centre: Mapping[str, float]) -> bool:
    """Whether a draw lies within the window round a family's own centre.

    ``centre`` holds expected scores by policy; policies it does not name are free. It
    stands for families with a set-up, and none of those asks for one change.
    """
    if not centre:
        return True
    told = scores(draft)
    return all(abs(told[name] - value) <= WINDOW for name, value in centre.items())
