"""Safety at the ends: each rule has a listed source, and an unread one proves none."""

from academy.catalog import end_safety, sources


def test_the_ends_are_to_be_seen_by_night_and_marked_on_the_road() -> None:
    rules = end_safety.load()
    assert {"night-field", "road-markers"} <= set(rules)
    # NASD V001576: the extremities are shown by side markers.
    assert rules["road-markers"].source == "nasd-v001576"


def test_a_rule_is_published_only_where_its_source_was_read() -> None:
    for rule in end_safety.load().values():
        read = sources.load()[rule.source].seen != "no"
        assert read or rule.evidence != "published"
