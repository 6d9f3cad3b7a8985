"""Pairs of steps: as safe and as well known as the written reference has them."""

import tomllib
from pathlib import Path

import pytest

from academy.catalog import procedures

REFERENCE = tomllib.loads(
    (Path(__file__).parent / "procedure_pairs.toml").read_text("utf-8")
)
# A mild pair that content holds by two others: place, safe_stop, secure.
BY_A_CHAIN = {("place", "secure")}
WAYS = {"seen": {"published"}, "memory": {"memory", "practice"}}

# Critical pairs that the reference does not list, each with the words that were read.
# 29 CFR 1928.57(a)(6)(iii): engine off, power source disconnected and all motion ended
# before servicing, adjusting, cleaning or unclogging. Utilities on a line contact: stay
# in the cab; leave only for fire.
READ_BESIDES = {
    ("knife-change", "safe_stop", "drive_safe"): "cfr-1928-57",  # servicing
    ("load-trailer", "safe_stop", "lines_off"): "cfr-1928-57",  # as when detaching
    ("winter-storage", "stop2", "belts"): "cfr-1928-57",  # adjusting
    ("wing-state", "safe_stop", "slacken"): "cfr-1928-57",  # adjusting
    ("line-contact", "stay", "fire"): "indiana-coop-contact",
}


@pytest.mark.parametrize("key", sorted(REFERENCE))
def test_every_pair_of_the_reference_stands_with_its_worth(key: str) -> None:
    pairs = {(p.before, p.after): p for p in procedures.known()[key].precedences}
    for before, after, worth, known, source in REFERENCE[key]["pairs"]:
        said = (key, before, after, source)
        if (before, after) in BY_A_CHAIN:
            assert worth == "mild", said
            continue
        pair = pairs[before, after]
        assert pair.safety_critical is (worth == "can-hurt"), said
        assert pair.evidence in WAYS[known], said
        assert pair.critical is (worth == "can-hurt" and known == "seen"), said


def test_the_reference_holds_every_procedure_and_its_pairs() -> None:
    assert set(REFERENCE) == set(procedures.known())
    assert sum(len(one["pairs"]) for one in REFERENCE.values()) == 186


def test_what_fails_alone_beyond_the_reference_was_read_word_for_word() -> None:
    besides = {}
    for key, procedure in procedures.known().items():
        listed = {(row[0], row[1]) for row in REFERENCE[key]["pairs"]}
        for pair in procedure.precedences:
            if pair.critical and (pair.before, pair.after) not in listed:
                besides[key, pair.before, pair.after] = pair.source
    assert besides == READ_BESIDES
