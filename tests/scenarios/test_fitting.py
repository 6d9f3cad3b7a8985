"""What is found or offered on a header is what such a header can have at all.

The law: a bar of stiff sections does not sag, and a wheel is either what carries the
header or folded out of the way, never both.
"""

from itertools import permutations

import pytest

from academy.catalog import faults, headers, troubles, walk_round
from academy.catalog.families import known
from academy.scenarios import faulty
from academy.scenarios.draw import draw
from academy.service.check_fitting import fitting_problems

SEEDS = range(40)
BENDS = "flexible"
# A machine that outruns its knife drives its reel fast as well; driven slower, it keeps
# a reel that is too fast for its pace.
AT_A_PACE = {"reel_fast", "too_fast"}
FAMILIES = [
    key
    for key, family in known().items()
    if any(part.findings or part.faults for part in family.parts)
]


def _met(key):
    """Header, carriage and the drawn keys of every finding or fault part."""
    family = known()[key]
    for seed in SEEDS:
        facts = draw(key, family, seed)
        for place, part in enumerate(family.parts, start=1):
            if part.findings:
                rows = {row[0] for row in facts[f"part.{place}"]}
                yield facts["header"], facts.get("carried", "ground"), rows
            elif part.faults:
                offered = set(facts[f"part.{place}"])
                yield facts["header"], facts.get("carried", "ground"), offered


@pytest.mark.parametrize("key", FAMILIES)
def test_no_stiff_bar_sags_and_no_wheel_is_folded_and_carries(key):
    for header, carried, drawn in _met(key):
        note = headers.load(header).note.en
        if "stiff sections" in note or headers.load(header).parts.build != BENDS:
            assert not drawn & {"flex_test", "flex_stiff"}, header
        if carried == "wheels":
            assert "gauge_wheels_up" not in drawn
        else:
            assert "gauge_wheel_pins" not in drawn


def test_what_speaks_of_sagging_or_of_flexing_links_says_what_it_needs():
    for key, one in walk_round.load().items():
        if "sags" in one.rule.en:
            assert one.needs.builds == (BENDS,), key
    for key, one in faults.load().items():
        if "does not flex" in one.cause.en:
            assert one.needs.builds == (BENDS,), key


def _family(key, place, **changes):
    family = known()[key]
    parts = list(family.parts)
    parts[place - 1] = parts[place - 1].model_copy(update=changes)
    return family.model_copy(update={"parts": tuple(parts)})


def _keys(family):
    return [problem.key for problem in fitting_problems("questions/x", family)]


def test_the_bank_offers_nothing_that_does_not_fit():
    for key, family in known().items():
        assert _keys(family) == [], key


def test_a_finding_that_no_header_of_the_family_has_is_refused():
    # raised-for-work cuts on the ground, so nothing rides on gauge wheels
    listed = known()["raised-for-work"].parts[1].findings
    wrong = _family("raised-for-work", 2, findings=(*listed, "gauge_wheel_pins"))
    assert _keys(wrong) == ["fits_no_header"]


def test_a_list_too_short_for_one_of_the_headers_is_refused():
    # seven are listed, and the hinged header has no bar that sags: six are left
    wrong = _family("count-in-the-field", 5, shown=7)
    assert _keys(wrong) == ["too_few_fit"]
    assert _keys(_family("count-in-the-field", 5, shown=6)) == []


def test_two_cures_that_put_the_same_thing_right_are_refused():
    both = ("none", "wing_stiff", "wing_hangs", "wing_heavy", "cut_high")
    wrong = _family("stubble-wings-soybean", 1, faults=both, names="cure")
    assert _keys(wrong) == ["cures_alike"]


def _read(one, path):
    group, _, name = path.partition(".")
    if group == "seen":
        return one.seen.get(name, 0.0)
    found = getattr(one, group)
    for step in name.split("."):
        found = getattr(found, step, None)
    return found


def _moves(key, one):
    """What the cure must move back, and which way; a kind is put back as it is."""
    bad, moved = faulty.with_fault(one, key), set()
    for effect in faults.load()[key].does:
        before, after = _read(one, effect.sets), _read(bad, effect.sets)
        way = "" if effect.kind else "down" if after > before else "up"
        moved.add((effect.sets, way))
    return moved


def test_faults_that_move_the_same_things_the_same_way_share_their_cure():
    family = "stubble-wings-soybean"
    one, listed = faulty.pass_of(draw(family, known()[family], 1)), faults.load()
    moves = {key: _moves(key, one) for key in listed if key != "none"}
    for key, other in permutations(moves, 2):
        if moves[key] <= moves[other] and {key, other} != AT_A_PACE:
            pair = [*listed[key].also_cures, *listed[other].also_cures]
            assert {key, other} & set(pair), (key, other)


def test_the_cure_of_a_slack_belt_and_of_one_that_walks_exclude_each_other():
    # slack: both ends must come up; walking: the tight front end must be eased
    slack, walks = faults.load()["belt_slack"], faults.load()["belt_walks"]
    assert "tighten both ends" in slack.cure.en.lower()
    assert "tense las dos puntas" in slack.cure.es.lower()
    assert "ease its front end" in walks.cure.en.lower()
    assert "afloje la punta de adelante" in walks.cure.es.lower()
    for target in ("between the marks", "same tension", "entre las marcas", "igual"):
        for cure in (slack.cure, walks.cure):
            assert target not in f"{cure.en} {cure.es}"


def test_no_symptom_denies_the_cause_of_the_fault_that_brings_it():
    # a cut that is ragged although the sections are new is not brought by worn ones
    for key, fault in faults.load().items():
        for trouble in troubles.of_fault(key):
            denied = "are new" in trouble.symptom.en and "worn" in fault.cause.en
            assert not denied, (key, trouble.symptom.en)
