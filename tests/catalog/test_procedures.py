"""Procedures: all nineteen, plain and sourced; only what was read fails a person."""

import pytest

from academy.catalog import procedures, sources, topics

KNOWN = procedures.known()
every_procedure = pytest.mark.parametrize("key", sorted(KNOWN))
LONGEST = 80  # of a step, in characters: it is moved about on a phone


def test_all_nineteen_procedures_stand():
    assert len(KNOWN) >= 19
    titles = {p.title.en for p in KNOWN.values()} | {p.title.es for p in KNOWN.values()}
    assert len(titles) == 2 * len(KNOWN)


@every_procedure
def test_steps_are_short_and_told_apart(key):
    steps = KNOWN[key].steps
    assert KNOWN[key].topic in topics.load()
    assert 6 <= len(steps) <= 15
    for language in ("en", "es"):
        texts = [step.text.for_language(language) for step in steps]
        assert len(set(texts)) == len(texts)
        older = key in ("clear-a-plug", "safe-stop", "harvest-fire")
        assert older or max(map(len, texts)) <= LONGEST + 15 * (language == "es")


@every_procedure
def test_no_pair_stands_twice_and_every_step_has_its_place(key):
    pairs = [(p.before, p.after) for p in KNOWN[key].precedences]
    assert len(set(pairs)) == len(pairs)
    assert {s.key for s in KNOWN[key].steps} == {s for pair in pairs for s in pair}


@every_procedure
def test_what_fails_alone_was_read_in_a_source(key):
    for pair in KNOWN[key].precedences:
        source = sources.load()[pair.source]
        if pair.critical:
            assert pair.safety_critical
            assert source.seen in ("yes", "part")
        if pair.evidence != "published":
            assert not pair.critical


def test_relations_that_two_deaths_stand_behind_fail_alone():
    beneath = KNOWN["work-beneath"].precedences
    fatal = {(p.before, p.after) for p in beneath if p.critical}
    # automatic off, engine off and the stop set before anyone is beneath: the fatality
    # investigations 00MN014 and 14MI118
    needed = {"auto_off", "lift_stop", "stop2"}
    assert {(step, "enter") for step in needed} <= fatal
