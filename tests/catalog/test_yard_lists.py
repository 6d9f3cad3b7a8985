"""The lists of the yard: safe stop first, items that fit the header, plain words."""

import pytest

from academy.catalog import blueprints, headers, instruction, procedures, yard
from academy.catalog.reading_grade import flesch_kincaid, inflesz
from academy.errors import ContentError

PAIRS = [(key, header) for key in yard.known() for header in yard.load(key).headers]


@pytest.mark.parametrize(("key", "header"), PAIRS)
def test_every_list_opens_with_the_whole_safe_stop(key: str, header: str) -> None:
    groups = yard.items_of(key, headers.load(header))
    first = next(iter(groups.values()))
    steps = [step.key for step in procedures.known()["safe-stop"].steps]
    # all steps but the work that comes after the stop
    assert [item.key for item in first] == [f"safe-stop.{k}" for k in steps[:-1]]
    assert all(item.critical and item.kind == "seen" for item in first)


def test_each_certificate_has_a_list_for_all_its_headers() -> None:
    for blueprint in blueprints.known().values():
        wanted = yard.load(blueprint.sign_off)
        assert set(blueprint.headers) <= set(wanted.headers)


@pytest.mark.parametrize(
    ("item", "on"),
    [
        ("springs-slack", {"flex35"}),  # wings on springs
        ("levers-alike", {"flex40"}),  # wings on oil
        ("links-alike", {"hinged30"}),
        ("drum-steps", {"flex35", "hinged30"}),
        ("drum-dial", {"flex40"}),
        ("parts-level", {"flex40", "hinged30"}),  # reels of several parts
        ("bar-freed", {"flex35", "flex40"}),
        ("sections-hinge", {"hinged30"}),
    ],
)
def test_a_header_shows_the_items_of_its_own_parts(item: str, on: set[str]) -> None:
    found = {
        header
        for header in headers.known()
        for items in yard.items_of(
            "soybean-on-the-ground", headers.load(header)
        ).values()
        for one in items
        if one.key == item
    }
    assert found == on


def test_every_kind_of_value_named_for_the_yard_is_measured_somewhere() -> None:
    judges = {
        item.judge
        for group in yard.groups().values()
        for item in group.items
        if item.kind == "measured"
    }
    assert judges == {
        "hold-down-gap",
        "bearing-temperature",
        "tine-clearance",
        "by-the-book",
        "spare-knife",
        "loss-check",
    }


@pytest.mark.parametrize("key", list(yard.known()))
def test_a_list_is_written_in_plain_words(key: str) -> None:
    items = [
        item
        for name in yard.load(key).groups
        for item in yard.groups()[name].all_items()
    ]
    for language, hard in (("en", False), ("es", True)):
        text = "\n".join(
            f"{item.text.for_language(language)}.\n{item.why.for_language(language)}"
            for item in items
        )
        if hard:
            assert inflesz(text) >= 55
        else:
            assert flesch_kincaid(text) <= 8


def test_a_changed_list_has_another_digest() -> None:
    digests = {yard.digest(key) for key in yard.known()}
    assert len(digests) == len(yard.known())
    assert all(len(one) == 64 for one in digests)


def test_a_step_without_a_reason_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    told = procedures.known()["safe-stop"]
    bare = told.model_copy(
        update={"precedences": tuple(p for p in told.precedences if p.before != "key")}
    )
    monkeypatch.setattr(procedures, "known", lambda: {"safe-stop": bare})
    with pytest.raises(ContentError, match="step_without_reason"):
        yard.groups()["safe-stop"].all_items()


def test_the_yearly_items_are_the_five_of_the_rule() -> None:
    # 29 CFR 1928.57(a)(6): (i) guards, (ii) riders, (iii) stop before servicing,
    # (iv) everybody clear, (v) lock out electric power of farmstead equipment
    rules = [item.rule for item in instruction.load().yearly.values()]
    assert rules == [
        f"29 CFR 1928.57(a)(6)({numeral})" for numeral in ("i", "ii", "iii", "iv", "v")
    ]
