"""Making a scenario: draw facts, judge every part, keep all that marking will need."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from academy.catalog import (
    assessment,
    borderline,
    coefficients,
    competence,
    families,
    procedures,
)
from academy.catalog import directions as directions_content
from academy.catalog.families import Asked, Family, known
from academy.competence.item_curve import part_weight
from academy.engine.version import VERSION
from academy.errors import ContentError, NotFound
from academy.grading import par, verdict
from academy.grading.verdict import Problem, SetUpVerdict
from academy.records.queries.stock import Draft, PartDraft
from academy.scenarios import order
from academy.scenarios.draw import draw
from academy.scenarios.facts import Facts, canonical, digest
from academy.scenarios.number import COMPUTABLES
from academy.service import (
    clones,
    find_cause,
    find_leak,
    go_stop,
    inspection,
    one_change,
    read_stubble,
)
from academy.service.problems import Made, problem_of, rounded

TRIES = 240  # substreams of a seed before the family is called unanswerable
NO_CLONE = "no_clone"  # of a draw that asks more, or less, than its family does
PAR_OUTSIDE = "par_outside"  # of a part too easy, or too hard, to be assessed

_IN_THE_WAY = {
    "find-the-cause": "no_fault_told_apart",
    "read-the-stubble": "no_fault_told_apart",
    "one-change": "no_change_leads",
    "find-the-leak": "no_place_leads",
    NO_CLONE: "no_draw_alike",
    PAR_OUTSIDE: "no_draw_in_bounds",
}


def family(key: str) -> Family:
    """Family by key; raises NotFound."""
    if key not in known():
        raise NotFound("no_such_family", name=key)
    return known()[key]


def practised_family(key: str) -> Family:
    """Family that may be practised; raises NotFound, for the safety gate's too."""
    if key not in families.practised():
        raise NotFound("no_such_family", name=key)
    return family(key)


def par_in_bounds(family: Family, made: Sequence[Made]) -> bool:
    """Whether every part may be assessed, if the family is; else any par will do."""
    bar = assessment.bar()
    return not family.assesses or all(
        bar.hardest_par <= one.par <= bar.easiest_par for one in made
    )


def _setup_key(problem: Problem, judged: SetUpVerdict) -> dict[str, Any]:
    best = {c.name: rounded(getattr(judged.best, c.name)) for c in problem.controls}
    figures = ("best_cost", "found_cost", "r0", "r1", "found_low")
    return {"best": best} | {name: rounded(getattr(judged, name)) for name in figures}


def _made_setup(asked: Asked, facts: Facts, place: int) -> Made | None:
    del place
    problem = problem_of(facts, asked.controls)
    judged = verdict.judge(problem)
    if not judged.accepted:
        return None
    model_par = par.setup_par(problem, judged, borderline.load())
    key = _setup_key(problem, judged) | {"controls": list(asked.controls)}
    drawn = {"draw_seed": verdict.DRAW_SEED, "draws": verdict.DRAWS}
    return Made(key | drawn, model_par, 0.0)


def _made_direction(asked: Asked, facts: Facts, place: int) -> Made:
    sign = directions_content.load(asked.setting).sign(facts[f"part.{place}"])
    ways = len(directions_content.WAYS)
    key = {"setting": asked.setting, "sign": sign.key, "key": sign.direction}
    return Made(key, borderline.load().par_of("direction"), 1.0 / ways)


def _made_number(asked: Asked, facts: Facts, place: int) -> Made | None:
    del place
    computable = COMPUTABLES[asked.computable]
    key = rounded(computable.value(facts))
    if key <= 0:  # two counts may come out equal; nothing can be near to zero
        return None
    stored = {"computable": asked.computable, "kind_of": computable.kind, "key": key}
    return Made(stored, borderline.load().par_of("number"), 0.0)


def _made_order(asked: Asked, facts: Facts, place: int) -> Made:
    procedure = procedures.known()[asked.procedure]
    pairs = order.pairs(procedure)
    shown = facts[f"part.{place}"]
    key = {"procedure": asked.procedure, "shown": shown, "pairs": pairs}
    key["critical"] = order.critical(procedure)
    floor = par.chance_floor_of_order(tuple(pairs), tuple(key["critical"]))
    return Made(key, borderline.load().par_of("order"), rounded(floor))


_MAKERS: Mapping[str, Callable[[Asked, Facts, int], Made | None]] = {
    "set-up": _made_setup,
    "direction": _made_direction,
    "number": _made_number,
    "order": _made_order,
    "one-change": one_change.made,
    "find-the-leak": find_leak.made,
    "inspection": inspection.made,
    "read-the-stubble": read_stubble.made,
    "go-or-stop": go_stop.made,
    "find-the-cause": find_cause.made,
}


def made_part(asked: Asked, facts: Facts, place: int) -> Made | None:
    """A part by its kind, at its place from 1; None when it may not be asked."""
    return _MAKERS[asked.kind](asked, facts, place)


def _made_parts(parts: Sequence[Asked], facts: Facts) -> list[Made] | str:
    """Every part made; the kind of the first one that may not be asked.

    A set-up takes a search, so it is made last, wherever it stands.
    """
    made: dict[int, Made] = {}
    places = range(1, len(parts) + 1)
    for place in sorted(places, key=lambda at: parts[at - 1].kind == "set-up"):
        one = made_part(parts[place - 1], facts, place)
        if one is None:
            return parts[place - 1].kind
        made[place] = one
    return [made[place] for place in places]


def attempt(key: str, seed: int, substream: int) -> Draft | str:
    """One draw of a family as a scenario, or why it may not be asked.

    The reason is the kind of the part that may not be, ``PAR_OUTSIDE`` or ``NO_CLONE``.
    Raises NotFound for an unknown family.
    """
    parts = family(key).parts
    facts = draw(key, family(key), seed, substream)
    made = _made_parts(parts, facts)
    if isinstance(made, str):
        return made
    if not par_in_bounds(family(key), made):
        return PAR_OUTSIDE
    model = competence.load()
    stored, drafts = [], []
    for asked, one in zip(parts, made, strict=True):
        alike = sum(other.topic == asked.topic for other in parts)
        stored.append({"kind": asked.kind, "topic": asked.topic} | one.key)
        drafts.append(
            PartDraft(
                kind=asked.kind,
                topic=asked.topic,
                family_key=f"{key}@{family(key).version}",
                par=one.par,
                floor=one.floor,
                weight_parts=alike,
                weight=part_weight(alike, model),
            )
        )
    payload = {"facts": facts, "parts": stored, "substream": substream}
    draft = Draft(
        family=key,
        seed=seed,
        digest=digest(key, facts),
        payload=canonical(payload),
        engine_version=VERSION,
        coefficient_digest=coefficients.load(facts["crop"]).digest,
        parts=drafts,
    )
    return draft if clones.within(draft, family(key).clones) else NO_CLONE


def make(key: str, seed: int) -> Draft:
    """A scenario of a family whose every part may be asked.

    Same family, seed and content, same scenario. Raises NotFound for an unknown
    family, ContentError when no substream of the seed gives one that may be asked;
    it says what most often stood in the way.
    """
    refused: Counter[str] = Counter()
    for substream in range(TRIES):
        made = attempt(key, seed, substream)
        if isinstance(made, Draft):
            return made
        refused[made] += 1
    (most, _), *_ = refused.most_common()
    why = _IN_THE_WAY.get(most, "no_fair_draw")
    raise ContentError(why, file=f"questions/{key}", seed=seed)
