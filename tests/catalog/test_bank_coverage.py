"""What the bank covers: every topic often enough, and in several ways."""

from collections import defaultdict

from academy.catalog import families, topics
from academy.catalog.procedures import known as procedures

LEAST_FAMILIES, LEAST_KINDS, LEAST_IN_ALL = 4, 3, 70  # as the bank is meant to be


def test_every_topic_is_asked_by_several_families_in_several_ways() -> None:
    asked, kinds = defaultdict(set), defaultdict(set)
    for key, family in families.known().items():
        for part in family.parts:
            asked[part.topic].add(key)
            kinds[part.topic].add(part.kind)
    assert len(families.known()) >= LEAST_IN_ALL
    for topic in topics.load():
        assert len(asked[topic]) >= LEAST_FAMILIES, topic
        assert len(kinds[topic]) >= LEAST_KINDS, (topic, kinds[topic])


def test_every_procedure_is_asked() -> None:
    parts = [part for family in families.known().values() for part in family.parts]
    asked = {part.procedure for part in parts if part.kind == "order"}
    assert asked == set(procedures())
