"""Real people set the line: each alone, three at least, never for what is past."""

import pytest
from sqlalchemy import select

from academy.catalog import blueprints
from academy.errors import Conflict, NotAllowed, NotFound, OutOfRange
from academy.records.queries import assessments, scenarios, standard
from academy.records.tables.ledger import log_entry
from academy.service import assessment, assessment_release, line, raters
from academy.service.log_check import check
from academy.service.stock import keep_coefficients

KEY = "yard-helper"
FAMILY, OTHER = blueprints.families_for(blueprints.load(KEY), "safe-stop")[:2]


@pytest.fixture
def panel(owner, join):
    """An owner and two instructors who rate; a lead and a hire who do not."""
    return {
        "owner": owner,
        "one": join("Ines Calder", "instructor").viewer,
        "two": join("Ana Bell", "instructor").viewer,
        "lead": join("Perry Voss", "lead").viewer,
        "hire": join("Hedda Ames").viewer,
    }


def say(house, panel, family=FAMILY, **expected):
    for name, share in expected.items():
        raters.rate(house, panel[name], family, share, house.clock())


def row(house, looking, family=FAMILY):
    told = raters.raters(house, looking).families
    return next(one for one in told if one.key == family)


def current(house):
    with house.db.read() as connection:
        return line.current(connection), line.model_set(connection)


def test_instructors_and_owners_rate_and_nobody_else(house, panel):
    for name in ("lead", "hire"):
        for deed in (
            lambda who: raters.raters(house, who),
            lambda who: raters.to_rate(house, who, FAMILY, 1),
            lambda who: raters.rate(house, who, FAMILY, 0.7, house.clock()),
        ):
            with pytest.raises(NotFound):
                deed(panel[name])
    with pytest.raises(NotFound):
        raters.rate(house, panel["one"], "no-such-family", 0.7, house.clock())
    for name in ("one", "two", "lead", "hire"):
        with pytest.raises(NotAllowed):
            raters.set_line(house, panel[name], house.clock())


def test_others_ratings_show_only_after_one_s_own_is_in(house, panel):
    say(house, panel, owner=0.6, one=0.8)
    assert row(house, panel["two"]).spread is None
    assert raters.to_rate(house, panel["two"], FAMILY, 1).row.spread is None
    say(house, panel, two=0.7)
    spread = row(house, panel["two"]).spread
    assert (spread.people, spread.low, spread.high) == (3, 0.6, 0.8)
    assert spread.mean == pytest.approx(0.7)


def test_a_rating_beyond_sense_is_refused_with_its_ends(house, panel):
    for share in (0.0, 0.1, 0.99, 1.0):
        with pytest.raises(OutOfRange, match="rating_out_of_range"):
            say(house, panel, one=share)
    assert row(house, panel["one"]).own is None


def test_a_line_takes_three_raters_who_agree_well_enough(house, panel):
    now = house.clock()
    say(house, panel, owner=0.70, one=0.72)
    with pytest.raises(Conflict, match="line_needs_raters"):
        raters.set_line(house, panel["owner"], now)
    assert current(house) == (None, True)
    say(house, panel, two=0.90)
    with pytest.raises(Conflict, match="line_needs_less_error"):
        raters.set_line(house, panel["owner"], now)
    say(house, panel, two=0.71)
    assert raters.raters(house, panel["owner"]).may_set
    assert raters.set_line(house, panel["owner"], now) == 1
    with pytest.raises(Conflict, match="line_needs_change"):
        raters.set_line(house, panel["owner"], now)
    # one family of many is rated: for the rest a model still sets the line
    assert current(house) == (1, True)
    with house.db.read() as connection:
        kept = standard.newest(connection)
        assert check(connection).flaws == ()
        query = select(log_entry.c.kind).order_by(log_entry.c.id)
        told = [kind for kind in connection.scalars(query) if kind != "role-changed"]
    assert (kept.raters, set(kept.body["families"])) == (3, {FAMILY})
    assert len(kept.body["raters"]) == 3
    assert told == ["rated"] * 4 + ["line-set"]


def test_raters_set_a_certificate_s_line_once_they_rated_all_it_can_ask(house, panel):
    blueprint = blueprints.load(KEY)
    asked = {
        family
        for topic in blueprint.weights
        for family in blueprints.families_for(blueprint, topic)
    }
    with house.db.write() as connection:
        for family in asked:
            for share, name in ((0.74, "owner"), (0.75, "one"), (0.76, "two")):
                who = panel[name].person_id
                standard.rate(connection, who, family, share, house.clock())
    raters.set_line(house, panel["owner"], house.clock())
    with house.db.read() as connection:
        assert not line.model_set(connection, KEY)
        assert line.model_set(connection, "soybean-on-the-ground")
        assert line.model_set(connection)


def release(house, panel):
    at, hire = house.clock(), panel["hire"].person_id
    return assessment_release.release(house, panel["lead"], hire, KEY, "week", at)


def test_a_version_moves_pars_of_later_assessments_and_of_no_earlier_one(house, panel):
    keep_coefficients(house)
    now = house.clock()
    earlier = release(house, panel)
    say(house, panel, owner=0.84, one=0.85, two=0.86)
    raters.set_line(house, panel["owner"], now)
    with house.db.read() as connection:
        assert assessments.get(connection, earlier).line is None
        assert line.model_judged(connection, assessments.get(connection, earlier))
    assessment_release.cancel(house, panel["lead"], earlier, now)
    later = release(house, panel)
    assessment.begin(house, panel["hire"], later, now)
    with house.db.read() as connection:
        row_ = assessments.get(connection, later)
        step = assessments.steps(connection, later)[0]
    assert row_.line == 1
    moved = means(house, step.scenario_id, FAMILY, row_.line)
    left = means(house, step.scenario_id, FAMILY, None)
    other = means(house, step.scenario_id, OTHER, row_.line)
    assert moved == pytest.approx(0.85, abs=2e-3)
    assert left == other
    assert left != moved


def means(house, scenario_id, family, version):
    """Mean par of a scenario when it is of a family, after moving; taken back."""
    with house.db.read() as connection:
        table = standard.scenario
        connection.execute(
            table.update().where(table.c.id == scenario_id).values(family=family)
        )
        line.move_pars(connection, scenario_id, version)
        parts = scenarios.parts(connection, scenario_id)
        return sum(one.par for one in parts) / len(parts)
