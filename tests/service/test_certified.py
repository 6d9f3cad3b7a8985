"""Certified facts beside the forecast: valid certificates count, and no others."""

from datetime import date, timedelta

import pytest
from sqlalchemy import insert

from academy.errors import NotAllowed, NotFound
from academy.records.rows import new_id
from academy.records.tables.assessments import assessment, decision
from academy.records.tables.certificates import certificate
from academy.records.tables.yard import sign_off
from academy.service import certified, farm, readiness

OPERATOR, HELPER = "soybean-on-the-ground", "yard-helper"


@pytest.fixture
def give(house, owner):
    """Put a certificate into the rows; how one is made is tested elsewhere."""
    today = house.clock().date()

    def _give(person, key, days, revoked=False, outcome="pass", header=None):
        ids = {name: new_id() for name in ("assessment", "sign_off", "certificate")}
        known = farm.farm(house)
        common = {
            "person_id": person.person_id,
            "header_key": header or known.header_key,
        }
        by, now = owner.person_id, house.clock()
        taken = {"revoked_at": now, "revoked_by": by, "revoke_reason": "A mistake."}
        with house.db.write() as connection:
            connection.execute(
                insert(assessment).values(
                    id=ids["assessment"],
                    certificate=key,
                    blueprint_digest="b" * 64,
                    attempt=1,
                    credit=0.0,
                    released_by=by,
                    released_at=now,
                    open_until=now,
                    state="ended",
                    **common,
                )
            )
            connection.execute(
                insert(decision).values(
                    id=new_id(),
                    assessment_id=ids["assessment"],
                    outcome=outcome,
                    evidence=4.0,
                    scenarios=8,
                    decided_at=now,
                )
            )
            connection.execute(
                insert(sign_off).values(
                    id=ids["sign_off"],
                    list_key=key,
                    list_digest="b" * 64,
                    lead_id=by,
                    opened_at=now,
                    **common,
                )
            )
            connection.execute(
                insert(certificate).values(
                    id=ids["certificate"],
                    certificate=key,
                    assessment_id=ids["assessment"],
                    sign_off_id=ids["sign_off"],
                    issued_by=by,
                    issued_at=now,
                    valid_until=today + timedelta(days=days),
                    language="en",
                    one_person=False,
                    model_line=True,
                    key_id="key",
                    credential="{}",
                    **common,
                    **(taken if revoked else {}),
                )
            )

    return _give


def job(house, looking, key):
    told = certified.certified(house, looking, house.clock())
    return next(one for one in told.jobs if one.key == key)


def test_only_valid_certificates_count_each_person_once(house, owner, join, give):
    hedda, luz, perry = (join(name).viewer for name in ("Hedda", "Luz", "Perry"))
    give(hedda, OPERATOR, 200)
    give(hedda, OPERATOR, 20)  # the one that holds longest is told
    give(luz, OPERATOR, 0)  # valid on its last day
    give(perry, OPERATOR, -1)  # lapsed
    give(perry, OPERATOR, 90, revoked=True)
    give(perry, OPERATOR, 90, outcome="fail")  # overturned on appeal
    give(perry, HELPER, 90)
    operator = job(house, owner, "combine-operator")
    assert [(one.name, one.title) for one in operator.holders] == [
        ("Luz", "Header operator: soybean on the ground"),
        ("Hedda", "Header operator: soybean on the ground"),
    ]
    assert (operator.today, operator.asked) == (2, True)
    assert job(house, owner, "yard-helper").today == 1
    lead = job(house, owner, "crew-lead")
    assert (lead.asked, lead.today) == (False, 0)


def test_what_lapses_within_thirty_days_is_listed_the_soonest_first(
    house, owner, join, give
):
    hedda, luz, perry = (join(name).viewer for name in ("Hedda", "Luz", "Perry"))
    give(hedda, OPERATOR, 30)
    give(luz, OPERATOR, 31)
    give(perry, HELPER, 5)
    told = certified.certified(house, owner, house.clock())
    assert [one.name for one in told.lapsing] == ["Perry", "Hedda"]
    assert told.days == 30


def test_what_still_holds_at_harvest_is_told_apart(house, owner, join, give):
    """Harvest on day 30; one certificate ends the day before, one on that day."""
    hedda, luz = (join(name).viewer for name in ("Hedda", "Luz"))
    harvest = house.clock().date() + timedelta(days=30)
    farm.set_season(house, owner, "soybean", harvest.year, harvest)
    give(hedda, OPERATOR, 29)
    give(luz, OPERATOR, 30)
    operator = job(house, owner, "combine-operator")
    assert (operator.today, operator.harvest) == (2, 1)
    assert certified.certified(house, owner, house.clock()).harvest == harvest


def test_facts_leave_the_forecast_as_it_is(house, owner, join, give):
    hedda = join("Hedda").viewer
    before = readiness.board(house, owner, house.clock())
    give(hedda, OPERATOR, 200)
    assert readiness.board(house, owner, house.clock()) == before
    assert job(house, owner, "combine-operator").today == 1


def test_a_lead_sees_the_own_crew_and_a_hire_nothing(house, owner, join, give):
    other = farm.add_crew(house, owner, "North crew")
    far = join("Ilse", crew_id=other).viewer
    give(far, OPERATOR, 90)
    lead = join("Perry", "lead").viewer
    assert job(house, lead, "combine-operator").today == 0
    with pytest.raises(NotFound):
        certified.certified(house, lead, house.clock(), other)
    with pytest.raises(NotAllowed):
        certified.certified(house, far, house.clock())
    told = certified.certified(house, owner, house.clock(), other)
    assert [one.name for job_ in told.jobs for one in job_.holders] == ["Ilse"]
    assert told.today == date(2026, 9, 1)
