"""Certificates: what their files must hold, and what ours hold."""

import math

import pytest

from academy.catalog import assessment, blueprints, families, topics
from academy.catalog.blueprints import Blueprint
from academy.errors import ContentError, NotFound
from academy.service import check_certificates

OURS = blueprints.known()
SOYBEAN = "soybean-on-the-ground"


def changed(**changes: object) -> Blueprint:
    return OURS[SOYBEAN].model_copy(update=changes)


def found(blueprint: Blueprint) -> set[tuple[str, str]]:
    """Key of each problem and what it names."""
    return {
        (one.key, str(one.values.get("topic", one.values.get("field"))))
        for one in check_certificates.of("tried", blueprint)
    }


def test_the_four_jobs_have_a_certificate() -> None:
    wanted = {SOYBEAN, "small-grain-off-the-ground", "header-mechanic", "yard-helper"}
    assert wanted <= set(OURS)
    assert check_certificates.problems() == []


@pytest.mark.parametrize("key", OURS)
def test_a_certificate_gives_task_and_consequence_for_all_it_weighs(key: str) -> None:
    one = OURS[key]
    assert sum(one.weights.values()) == 16
    assert {task.topic for task in one.tasks} == set(one.weights) <= set(topics.load())
    assert len(set(one.concepts)) == assessment.gate().questions == 10
    assert one.valid_days.value <= 365  # the longest life a certificate may have


@pytest.mark.parametrize("key", OURS)
def test_only_families_of_four_scored_parts_and_of_the_scope_are_asked(
    key: str,
) -> None:
    one = OURS[key]
    for topic, weight in one.weights.items():
        eligible = blueprints.families_for(one, topic)
        most = math.ceil(weight * assessment.bar().most_scenarios / 16)
        assert len(eligible) * one.repeats >= most >= weight
        for name in eligible:
            family = families.load(name)
            assert len(family.parts) >= 4
            calls = [part for part in family.parts if part.kind == "go-or-stop"]
            assert len(calls) <= len(family.parts) / 2
            assert not family.gate
            assert family.crop in one.crops
            assert set(family.headers) <= set(one.headers)
            alike = sum(part.topic == topic for part in family.parts)
            others = {part.topic for part in family.parts}
            assert all(
                alike >= sum(part.topic == other for part in family.parts)
                for other in others
            )


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ({"jobs": ("none-such",)}, ("names_unknown", "jobs")),
        ({"crops": ("moonbean",)}, ("names_unknown", "crops")),
        ({"headers": ("none-such",)}, ("names_unknown", "headers")),
        ({"concepts": ("none-such",)}, ("names_unknown", "concepts")),
        ({"weights": {"none-such": 16}}, ("unknown_topic", "none-such")),
        ({"weights": {"care-storage": 16}}, ("too_few_families", "care-storage")),
    ],
)
def test_what_a_certificate_cannot_ask_is_told(change, problem) -> None:
    assert problem in found(changed(**change))


@pytest.mark.parametrize(
    "change",
    [
        {"weights": {"reel": 15}},
        {"weights": {"reel": 16, "knife": 0}},
        {"concepts": ("fire",)},
        {"concepts": ("fire",) * 10},
        {"tasks": ()},
        {"repeats": 0},
    ],
)
def test_a_file_that_does_not_add_up_is_refused(change: dict[str, object]) -> None:
    plain = OURS[SOYBEAN].model_dump(mode="python") | change
    with pytest.raises(ValueError, match=r"must|not"):
        Blueprint.model_validate(plain)


def test_an_unknown_certificate_is_not_there() -> None:
    with pytest.raises(NotFound):
        blueprints.load("pilot-of-balloons")


def test_every_certificate_has_its_own_digest() -> None:
    digests = {blueprints.digest(key) for key in OURS}
    assert len(digests) == len(OURS)
    assert all(len(one) == 64 for one in digests)


def test_the_error_of_a_broken_file_names_it(tmp_path, monkeypatch) -> None:
    (tmp_path / "blueprints").mkdir()
    broken = tmp_path / "blueprints" / "half.toml"
    broken.write_text("order = 1\n", encoding="utf-8")
    monkeypatch.setattr(blueprints, "path_of", lambda *_: broken)
    blueprints.load.cache_clear()
    with pytest.raises(ContentError, match=r"half\.toml"):
        blueprints.load("half")
    blueprints.load.cache_clear()
