"""Making a scenario: draw facts, judge every part, keep all that marking will need."""

from typing import Any

from academy.catalog import borderline, coefficients, competence, procedures
from academy.catalog import directions as directions_content
from academy.catalog.families import Asked, Family, known
from academy.competence.item_curve import part_weight
from academy.engine.version import VERSION
from academy.errors import ContentError, NotFound
from academy.grading import par, verdict
from academy.grading.verdict import Problem, SetUpVerdict
from academy.records.queries.stock import Draft, PartDraft
from academy.scenarios import conditions, order
from academy.scenarios.draw import draw
from academy.scenarios.facts import Facts, canonical, digest
from academy.scenarios.number import COMPUTABLES

_TRIES = 60  # substreams of a seed before the family is called unanswerable
_DIGITS = 9  # significant digits of what is stored and compared


def family(key: str) -> Family:
    """Family by key; raises NotFound."""
    if key not in known():
        raise NotFound("no_such_family", name=key)
    return known()[key]


def rounded(value: float) -> float:
    """A reading to nine significant digits."""
    return float(f"{value:.{_DIGITS}g}")


def problem_of(facts: Facts, controls: tuple[str, ...]) -> Problem:
    """The set-up of some facts, as the marking room judges it."""
    known_set = coefficients.load(facts["crop"])
    return Problem(
        field=conditions.field_of(facts),
        machine=conditions.machine_of(facts),
        as_found=conditions.as_found(facts),
        controls=tuple(conditions.controls_of(facts, controls)),
        values=known_set.values,
        low=known_set.low,
        high=known_set.high,
    )


def _setup_key(problem: Problem, judged: SetUpVerdict) -> dict[str, Any]:
    best = {c.name: rounded(getattr(judged.best, c.name)) for c in problem.controls}
    figures = ("best_cost", "found_cost", "r0", "r1", "found_low")
    return {"best": best} | {name: rounded(getattr(judged, name)) for name in figures}


def _made_setup(
    asked: Asked, facts: Facts
) -> tuple[dict[str, Any], float, float] | None:
    problem = problem_of(facts, asked.controls)
    judged = verdict.judge(problem)
    if not judged.accepted:
        return None
    model_par = par.setup_par(problem, judged, borderline.load())
    key = _setup_key(problem, judged) | {"controls": list(asked.controls)}
    return (
        key | {"draw_seed": verdict.DRAW_SEED, "draws": verdict.DRAWS},
        model_par,
        0.0,
    )


def _made_direction(
    asked: Asked, facts: Facts, place: int
) -> tuple[dict[str, Any], float, float]:
    sign = directions_content.load(asked.setting).sign(facts[f"part.{place}"])
    ways = len(directions_content.WAYS)
    key = {"setting": asked.setting, "sign": sign.key, "key": sign.direction}
    return key, borderline.load().direction_par.value, 1.0 / ways


def _made_number(asked: Asked, facts: Facts) -> tuple[dict[str, Any], float, float]:
    computable = COMPUTABLES[asked.computable]
    key = rounded(computable.value(facts))
    return (
        {"computable": asked.computable, "kind_of": computable.kind, "key": key},
        borderline.load().number_par.value,
        0.0,
    )


def _made_order(
    asked: Asked, facts: Facts, place: int
) -> tuple[dict[str, Any], float, float]:
    procedure = procedures.known()[asked.procedure]
    pairs = order.pairs(procedure)
    shown = facts[f"part.{place}"]
    key = {"procedure": asked.procedure, "shown": shown, "pairs": pairs}
    key["critical"] = order.critical(procedure)
    floor = par.chance_floor_of_order(tuple(pairs), tuple(key["critical"]))
    return key, borderline.load().order_par.value, rounded(floor)


def _made_part(
    asked: Asked, facts: Facts, place: int
) -> tuple[dict[str, Any], float, float] | None:
    if asked.kind == "set-up":
        return _made_setup(asked, facts)
    if asked.kind == "number":
        return _made_number(asked, facts)
    made = _made_direction if asked.kind == "direction" else _made_order
    return made(asked, facts, place)


def _draft(key: str, seed: int, substream: int, facts: Facts) -> Draft | None:
    parts = family(key).parts
    made = [_made_part(asked, facts, place) for place, asked in enumerate(parts, 1)]
    if any(each is None for each in made):
        return None
    model = competence.load()
    stored, drafts = [], []
    for asked, (part_key, part_par, floor) in zip(
        parts, [each for each in made if each is not None], strict=True
    ):
        alike = sum(other.topic == asked.topic for other in parts)
        stored.append({"kind": asked.kind, "topic": asked.topic} | part_key)
        drafts.append(
            PartDraft(
                kind=asked.kind,
                topic=asked.topic,
                family_key=f"{key}@{family(key).version}",
                par=part_par,
                floor=floor,
                weight_parts=alike,
                weight=part_weight(alike, model),
            )
        )
    payload = {"facts": facts, "parts": stored, "substream": substream}
    return Draft(
        family=key,
        seed=seed,
        digest=digest(key, facts),
        payload=canonical(payload),
        engine_version=VERSION,
        coefficient_digest=coefficients.load(facts["crop"]).digest,
        parts=drafts,
    )


def make(key: str, seed: int) -> Draft:
    """A scenario of a family whose every part may be asked.

    Same family, seed and content, same scenario. Raises NotFound for an unknown
    family, ContentError when no substream of the seed gives one that may be asked.
    """
    for substream in range(_TRIES):
        facts = draw(key, family(key), seed, substream)
        made = _draft(key, seed, substream, facts)
        if made is not None:
            return made
    raise ContentError("no_fair_draw", file=f"questions/{key}", seed=seed)
