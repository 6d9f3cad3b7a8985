"""Scenarios, answers and beliefs: issued once, answered once, never lost."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError

from academy.records.db import Database
from academy.records.queries import (
    answers,
    beliefs,
    coefficients,
    farm,
    people,
    scenarios,
    stock,
)
from academy.records.queries.beliefs import Belief
from academy.records.queries.scenarios import Issue
from academy.records.queries.stock import Draft, PartDraft
from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part, scenario

NOW = datetime(2026, 8, 1, 12, tzinfo=UTC)
SET = "c" * 64
KNIFE = PartDraft("number", "knife", "knife-pace/advance", 0.6, 0.0, 1, 1.0)
REEL = PartDraft("choice", "reel", "reel-speed/way", 0.7, 0.25, 1, 1.0)


@pytest.fixture
def crew(database: Database) -> tuple[str, str]:
    """Two people of one crew, and a coefficient set."""
    with database.write() as connection:
        coefficients.keep(connection, SET, "{}")
        crew_id = farm.add_crew(connection, "North yard").id
        return person(connection, crew_id, "Marta"), person(connection, crew_id, "Bo")


def person(connection, crew_id: str, name: str) -> str:
    return people.add(
        connection,
        crew_id=crew_id,
        name=name,
        language="en",
        units="us",
        roles=[],
        now=NOW,
    )


def draft(seed: int, family: str = "reel-speed", version: int = 1) -> Draft:
    digest = hashlib.sha256(f"{family} {seed}".encode()).hexdigest()
    return Draft(family, seed, digest, "{}", version, SET, [REEL, KNIFE])


def issue(person_id: str, sitting: str, purpose: str = "practice") -> Issue:
    return Issue(person_id, sitting, purpose, NOW)


def shelve(database: Database, *drafts: Draft) -> None:
    with database.write() as connection:
        for each in drafts:
            assert stock.add(connection, each, NOW)


def test_what_lies_ready_is_issued_once_with_its_parts(database: Database, crew):
    shelve(database, draft(7))
    with database.write() as connection:
        issued = scenarios.consume_ready(connection, "reel-speed", issue(crew[0], "s"))
        assert scenarios.consume_ready(
            connection, "reel-speed", issue(crew[1], "t")
        ) is (None)
    with database.read() as connection:
        assert scenarios.get(connection, issued.id, crew[0]) == issued
        parts = scenarios.parts(connection, issued.id)
        assert stock.count_by_family(connection) == {}
    assert issued.seed == 7
    assert [(each.position, each.topic, each.par) for each in parts] == [
        (1, "reel", 0.7),
        (2, "knife", 0.6),
    ]


def test_somebody_elses_scenario_is_not_there(database: Database, crew):
    with database.write() as connection:
        issued = scenarios.issue_draft(connection, draft(1), issue(crew[0], "s"))
        assert scenarios.get(connection, issued.id, crew[1]) is None


def test_nobody_gets_the_same_facts_twice(database: Database, crew):
    with database.write() as connection:
        scenarios.issue_draft(connection, draft(1), issue(crew[0], "s"))
    shelve(database, draft(1))
    with database.write() as connection:
        again = scenarios.consume_ready(connection, "reel-speed", issue(crew[0], "t"))
        assert again is None
        assert scenarios.had(connection, draft(1).digest, crew[0], "t")
        other = scenarios.consume_ready(connection, "reel-speed", issue(crew[1], "t"))
        assert other is not None


def test_no_two_people_of_a_sitting_get_the_same_facts(database: Database, crew):
    with database.write() as connection:
        scenarios.issue_draft(connection, draft(1), issue(crew[0], "lab"))
    shelve(database, draft(1))
    with database.write() as connection:
        same = scenarios.consume_ready(connection, "reel-speed", issue(crew[1], "lab"))
        assert same is None
    with pytest.raises(IntegrityError), database.write() as connection:
        scenarios.issue_draft(connection, draft(1), issue(crew[1], "lab"))


@pytest.mark.usefixtures("crew")
def test_the_shelf_counts_by_family_and_drops_what_is_stale(database: Database):
    shelve(database, draft(1), draft(2), draft(3, "knife-pace"), draft(4, version=2))
    with database.write() as connection:
        assert not stock.add(connection, draft(1), NOW)
        counts = stock.count_by_family(connection)
        assert counts == {"reel-speed": 3, "knife-pace": 1}
        assert stock.clear_other_than(connection, 2, [SET]) == 3
        assert stock.count_by_family(connection) == {"reel-speed": 1}
        assert stock.clear_other_than(connection, 2, ["d" * 64]) == 1


def test_eight_at_once_each_get_their_own(database: Database, crew):
    shelve(database, *[draft(seed) for seed in range(16)])

    def take(_number: int) -> str:
        with database.write() as connection:
            ready = scenarios.consume_ready(
                connection, "reel-speed", issue(crew[0], "rush")
            )
            assert ready is not None
            return ready.digest

    with ThreadPoolExecutor(8) as threads:
        digests = list(threads.map(take, range(16)))
    assert len(set(digests)) == 16


@pytest.mark.parametrize(
    "bad",
    [
        PartDraft("number", "knife", "k", 1.0, 0.0, 1, 1.0),
        PartDraft("number", "knife", "k", 0.3, 0.3, 1, 1.0),
        PartDraft("number", "knife", "k", 0.6, 0.0, 0, 1.0),
        PartDraft("number", "knife", "k", 0.6, 0.0, 1, 0.0),
    ],
)
def test_a_part_that_cannot_be_judged_is_refused(database: Database, crew, bad):
    wrong = Draft("f", 1, "e" * 64, "{}", 1, SET, [bad])
    with pytest.raises(IntegrityError), database.write() as connection:
        scenarios.issue_draft(connection, wrong, issue(crew[0], "s"))


def give(connection, part_id: str, score: float, key: str | None = None) -> bool:
    return answers.record(
        connection,
        part_id,
        answer={"value": [4.5, "mph"]},
        score=score,
        marks={"near": True, "ñ": None},
        now=NOW,
        client_key=key,
    )


def test_a_double_submit_counts_once_and_the_first_stays(database: Database, crew):
    with database.write() as connection:
        issued = scenarios.issue_draft(connection, draft(1), issue(crew[0], "s"))
        first, second = scenarios.parts(connection, issued.id)
        assert give(connection, first.id, 0.123456, "key")
        assert not give(connection, first.id, 1.0, "key")
        assert scenarios.get(connection, issued.id, crew[0]).answered_at is None
        assert scenarios.unanswered(connection, crew[0], "practice").id == issued.id
        assert give(connection, second.id, 1.0)
    with database.read() as connection:
        kept = answers.for_scenario(connection, issued.id)
        assert scenarios.get(connection, issued.id, crew[0]).answered_at == NOW
        assert scenarios.unanswered(connection, crew[0], "practice") is None
    assert kept[first.id].score == 0.1235  # four decimals
    assert kept[first.id].answer == {"value": [4.5, "mph"]}
    assert kept[first.id].marks == {"near": True, "ñ": None}
    assert list(kept) == [first.id, second.id]


def test_the_same_answer_sent_by_eight_at_once_is_kept_once(database: Database, crew):
    with database.write() as connection:
        issued = scenarios.issue_draft(connection, draft(1), issue(crew[0], "s"))
        part_id = scenarios.parts(connection, issued.id)[0].id

    def send(_number: int) -> bool:
        with database.write() as connection:
            return give(connection, part_id, 0.5)

    with ThreadPoolExecutor(8) as threads:
        assert sum(threads.map(send, range(8))) == 1
    with database.read() as connection:
        assert connection.scalar(select(func.count()).select_from(answer)) == 1


@pytest.mark.parametrize("score", [-0.1, 1.1])
def test_a_score_that_is_no_share_is_refused(database: Database, crew, score):
    with database.write() as connection:
        issued = scenarios.issue_draft(connection, draft(1), issue(crew[0], "s"))
        part_id = scenarios.parts(connection, issued.id)[0].id
    with pytest.raises(IntegrityError), database.write() as connection:
        give(connection, part_id, score)


def test_an_answer_to_nothing_is_refused(database: Database):
    with pytest.raises(IntegrityError), database.write() as connection:
        give(connection, "0" * 32, 0.5)


def test_the_log_tells_a_topic_in_the_order_of_the_answers(database: Database, crew):
    with database.write() as connection:
        for seed, purpose in ((1, "practice"), (2, "assessment")):
            to = issue(crew[0], f"s{seed}", purpose)
            issued = scenarios.issue_draft(connection, draft(seed), to)
            for each in reversed(scenarios.parts(connection, issued.id)):
                give(connection, each.id, seed / 4)
        log = answers.log_for(connection, crew[0], ["reel"])
        assert [(line.score, line.purpose) for line in log] == [
            (0.25, "practice"),
            (0.5, "assessment"),
        ]
        assert (log[0].par, log[0].floor, log[0].family_key) == (
            *(0.7, 0.25),
            "reel-speed/way",
        )
        assert answers.log_for(connection, crew[0], ["reel"], log[0].id) == log[1:]
        whole = answers.log_for(connection, crew[0])
        assert [line.topic for line in whole] == ["knife", "reel", "knife", "reel"]
        assert answers.log_for(connection, crew[1]) == ()


def test_days_of_work_are_noted_once(database: Database, crew):
    second, first = date(2026, 9, 21), date(2026, 9, 20)
    with database.write() as connection:
        assert answers.add_use_day(connection, crew[0], "reel", second)
        assert answers.add_use_day(connection, crew[0], "reel", first)
        assert not answers.add_use_day(connection, crew[0], "reel", first)
        assert answers.use_days(connection, crew[0], ["reel"]) == (
            ("reel", first),
            ("reel", second),
        )
        assert answers.use_days(connection, crew[1], ["reel"]) == ()


def belief_of(person_id: str, topic: str, byte: bytes = b"\1") -> Belief:
    return Belief(person_id, topic, date(2026, 8, 1), byte * 640, 3, "1-abc")


def test_a_belief_is_replaced_and_found_by_crew(database: Database, crew):
    with database.write() as connection:
        crew_id = people.get(connection, crew[0]).crew_id
        beliefs.keep(connection, [belief_of(crew[0], "reel")])
        beliefs.keep(connection, [belief_of(crew[0], "reel", b"\2")])
        beliefs.keep(connection, [belief_of(crew[0], "knife")])
        beliefs.keep(connection, [belief_of(crew[1], "reel")])
        people.set_active(connection, crew[1], False)
        assert beliefs.get(connection, crew[0], "reel").grid == b"\2" * 640
        assert beliefs.get(connection, crew[1], "knife") is None
        found = beliefs.all_for_crew(connection, crew_id)
        assert [(each.person_id, each.topic) for each in found] == [
            (crew[0], "knife"),
            (crew[0], "reel"),
        ]
        assert found == beliefs.all_for_person(connection, crew[0])
        beliefs.forget_all(connection, crew[0])
        assert beliefs.all_for_crew(connection, crew_id) == ()


def test_a_grid_of_another_size_is_refused(database: Database, crew):
    short = Belief(crew[0], "reel", date(2026, 8, 1), b"\1" * 639, 3, "1-abc")
    with pytest.raises(IntegrityError), database.write() as connection:
        beliefs.keep(connection, [short])


def test_a_coefficient_set_is_kept_once_and_must_be_there(database: Database, crew):
    with database.write() as connection:
        coefficients.keep(connection, SET, "other text")
        assert coefficients.get(connection, SET) == "{}"
        assert coefficients.get(connection, "0" * 64) is None
    lost = Draft("f", 1, "e" * 64, "{}", 1, "0" * 64, [REEL])
    with pytest.raises(IntegrityError), database.write() as connection:
        scenarios.issue_draft(connection, lost, issue(crew[0], "s"))


def test_a_failed_issue_leaves_neither_scenario_nor_part(database: Database, crew):
    with pytest.raises(ZeroDivisionError):
        _fail_after_issue(database, crew[0])
    with database.read() as connection:
        for table in (scenario, part):
            assert connection.scalar(select(func.count()).select_from(table)) == 0


def _fail_after_issue(database: Database, person_id: str) -> None:
    with database.write() as connection:
        scenarios.issue_draft(connection, draft(1), issue(person_id, "s"))
        raise ZeroDivisionError
