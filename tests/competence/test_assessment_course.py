"""The course of an assessment: gate, scenarios, curtailment, always the same."""

from collections import Counter
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import assessment, blueprints, competence
from academy.competence import curtailment, decision
from academy.competence.assessment_course import Done, Next, scored, what_next

BAR, GATE, MODEL = assessment.bar(), assessment.gate(), competence.load()
PRINT = blueprints.load("yard-helper")
CONCEPTS = PRINT.concepts


def following(done: list[Done], seed: object = "seed", credit: float = 0.0) -> Next:
    return what_next(done, PRINT.weights, CONCEPTS, BAR, GATE, credit, seed)


def safety(step: Next, right: bool, corrected: bool = False) -> Done:
    return Done(step.stage, step.slot, "family", right, (), corrected)


def through_gate(seed: object = "seed") -> list[Done]:
    done: list[Done] = []
    while (step := following(done, seed)).stage == "gate":
        done.append(safety(step, True))
    return done


def scenario(step: Next, *scores: float, par: float = 0.62) -> Done:
    parts = [(par, 0.0, score) for score in scores]
    return Done("scenario", step.slot, "family", None, scored(parts, MODEL), False)


def course(scores: list[float], seed: object = "seed") -> tuple[Next, list[Done]]:
    """Scenarios with four parts of one score each, as far as the course goes."""
    done = through_gate(seed)
    for score in scores:
        step = following(done, seed)
        if step.kind == "ended":
            return step, done
        done.append(scenario(step, *[score] * 4))
    return following(done, seed), done


def test_the_gate_asks_every_concept_once() -> None:
    done = through_gate()
    assert Counter(one.slot for one in done) == Counter(CONCEPTS)
    assert following(done).stage == "scenario"


def test_one_miss_waits_for_the_lead_and_then_is_asked_again() -> None:
    done: list[Done] = []
    for place in range(10):
        done.append(safety(following(done), place != 3))
    waiting = following(done)
    assert (waiting.kind, waiting.slot) == ("correct", done[3].slot)
    done[3] = replace(done[3], corrected=True)
    fresh: list[str] = []
    while (step := following(done)).stage == "fresh":
        fresh.append(step.slot)
        done.append(safety(step, True))
    assert len(fresh) == 6
    assert Counter(fresh).most_common(1)[0][0] == done[3].slot
    assert Counter(fresh)[done[3].slot] > 3  # mainly from the missed concept
    assert following(done).stage == "scenario"


def test_two_misses_end_it() -> None:
    done = [safety(following([]), False)]
    done.append(safety(following(done), False))
    ended = following(done)
    assert (ended.kind, ended.outcome, ended.scenarios) == ("ended", "gate", 0)


def test_a_fresh_miss_ends_it() -> None:
    done: list[Done] = []
    for place in range(10):
        done.append(safety(following(done), place > 0, corrected=place == 0))
    done.append(safety(following(done), False))
    assert following(done).outcome == "gate"


@pytest.mark.parametrize("safe", [0.5, 0.7, 0.9, 0.98])
def test_the_course_lets_through_as_the_double_plan_says(safe: float) -> None:
    """p^10 + 10 p^9 (1 - p) p^6, from every way to answer the ten and the six."""
    total = 0.0
    for answers in product([True, False], repeat=10):
        misses = answers.count(False)
        if misses > 1:
            continue
        chance = safe ** (10 - misses) * (1 - safe) ** misses
        done: list[Done] = []
        for right in answers:
            done.append(safety(following(done), right, corrected=not right))
        fresh = 0
        while (step := following(done)).stage == "fresh":
            done.append(safety(step, True))
            fresh += 1
        total += chance * safe**fresh
    law = safe**10 + 10 * safe**9 * (1 - safe) * safe**6
    assert total == pytest.approx(law, abs=1e-12)


def test_nobody_is_judged_before_the_fewest_and_everybody_after_the_most() -> None:
    perfect, _ = course([1.0] * 40)
    assert (perfect.outcome, perfect.scenarios) == ("pass", BAR.least_scenarios)
    nothing, _ = course([0.0] * 40)
    assert (nothing.outcome, nothing.scenarios) == ("fail", BAR.least_scenarios)
    at_par = decision.par(scored([(0.62, 0.0, 1.0)], MODEL)[0].item, BAR)
    level, done = course([at_par] * 40)
    assert (level.kind, level.outcome) == ("ended", "fail")
    assert BAR.least_scenarios < level.scenarios <= BAR.most_scenarios
    assert len(done) == 10 + level.scenarios


parts = st.tuples(
    st.floats(BAR.hardest_par, BAR.easiest_par),
    st.sampled_from([0.0, 0.17, 0.25]),
    st.floats(0, 1),
)
scenarios = st.lists(
    st.lists(parts, min_size=4, max_size=6),
    min_size=BAR.most_scenarios,
    max_size=BAR.most_scenarios,
)


@settings(max_examples=60)
@given(scenarios)
def test_stopping_early_never_changes_the_verdict(asked) -> None:
    """Where the rule stops, the full course by Wald's limits ends the same way."""
    total, most = 0.0, curtailment.reach(BAR, MODEL)
    settled = whole = "more"
    for count, each in enumerate(asked[: BAR.most_scenarios], start=1):
        total += decision.evidence(scored(each, MODEL), BAR)
        if settled == "more":
            settled = curtailment.settled(total, count, BAR, most)
        if whole == "more":
            whole = decision.verdict(total, count, BAR)
    assert settled == whole != "more"


@given(st.lists(parts, min_size=4, max_size=6))
def test_no_scenario_reaches_further_than_believed(each) -> None:
    most = curtailment.reach(BAR, MODEL)
    told = decision.evidence(scored(each, MODEL), BAR)
    assert -most.loss - 1e-9 <= told <= most.gain + 1e-9


def test_the_last_scenario_is_spared_when_it_cannot_help() -> None:
    most, last = curtailment.reach(BAR, MODEL), BAR.most_scenarios - 1
    hopeless = BAR.last_evidence - most.gain - 0.01
    assert decision.verdict(hopeless, last, BAR) == "more"
    assert curtailment.settled(hopeless, last, BAR, most) == "fail"
    assert curtailment.settled(hopeless + 0.02, last, BAR, most) == "more"


def test_the_parts_of_a_scenario_share_the_weight_of_one_stem() -> None:
    """w = m / (1 + (m - 1) 0.3): 2.105 for four parts, 2.4 for six."""
    for count, wanted in ((4, 2.105263), (6, 2.4)):
        told = scored([(0.6, 0.0, 1.0)] * count, MODEL)
        assert sum(one.weight for one in told) == pytest.approx(wanted, abs=1e-6)


def test_the_same_steps_have_the_same_next() -> None:
    first, done = course([0.7] * 9, "a")
    again, repeated = course([0.7] * 9, "a")
    assert (first, done) == (again, repeated)
    slots = {tuple(one.slot for one in course([0.7] * 9, seed)[1]) for seed in "abcd"}
    assert len(slots) > 1


@given(
    st.permutations([0.1, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]),
    st.text(max_size=20),
    st.sampled_from(["en", "es"]),
)
@settings(max_examples=40)
def test_the_same_answers_get_the_same_decision_whoever_gave_them(
    scores, name, language
) -> None:
    """Nothing of a person goes in: order of answers, names and seeds change nothing.

    The evidence is added exactly (``fsum``), so any order gives the very same bits.
    """
    one, _ = course(list(scores), seed=(name, language))
    other, _ = course(sorted(scores), seed="somebody else")
    assert one.evidence == other.evidence
    assert (one.kind, one.outcome, one.scenarios) == (
        other.kind,
        other.outcome,
        other.scenarios,
    )
    for attribute in ("name", "crew", "farm", "language", "person"):
        assert attribute not in Done.__dataclass_fields__


def test_credit_counts_for_scenarios_and_not_at_the_gate() -> None:
    with_credit = following(through_gate(), credit=1.0)
    assert with_credit.evidence == 1.0
    missed = [safety(following([]), False)]
    missed.append(safety(following(missed), False))
    assert following(missed, credit=1.0).outcome == "gate"
