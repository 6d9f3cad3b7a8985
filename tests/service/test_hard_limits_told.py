"""What a header can sense is a printed fact, and a broken limit is named in feedback.

The headers' own records say which of them senses its height off the ground without
gauge wheels: the 40 ft one does, the 35 ft one does not.
"""

import pytest

from academy.catalog.families import known
from academy.language import Reader
from academy.scenarios.draw import draw
from academy.service import one_change
from academy.service.shown_facts import fact_rows

FAMILY = "first-change-wheat"
SAID = {
    ("flex40", "en"): "works off the ground too, without gauge wheels",
    ("flex35", "en"): "off the ground it works on gauge wheels only",
    ("flex40", "es"): "también trabaja separado del suelo",
    ("flex35", "es"): "trabaja solo con ruedas de control de altura",
}


def _draw(header):
    family = known()[FAMILY]
    found = (draw(FAMILY, family, seed) for seed in range(400))
    return next(
        facts
        for facts in found
        if facts["header"] == header and one_change.made(family.parts[0], facts, 1)
    )


@pytest.mark.parametrize(("header", "language"), SAID)
def test_the_question_says_whether_the_header_senses_off_the_ground(header, language):
    family, facts = known()[FAMILY], _draw(header)
    rows = fact_rows(family, facts, Reader(language, "us"))
    told = [row for row in rows if SAID[header, language] in row.value]
    assert len(told) == 1


def test_a_family_that_always_rides_on_wheels_need_not_say_it():
    family = known()["hours-or-grain-wheat"]
    facts = draw("hours-or-grain-wheat", family, 1)
    values = [row.value for row in fact_rows(family, facts, Reader("en", "us"))]
    assert not any("height control" in value for value in values)


@pytest.mark.parametrize(
    ("language", "limit"),
    [
        ("en", "breaks a hard limit: This header cannot sense its height off the"),
        ("es", "pasa un límite firme: "),
    ],
)
def test_an_option_that_breaks_a_limit_says_which(language, limit):
    family, facts = known()[FAMILY], _draw("flex35")
    part = one_change.made(family.parts[0], facts, 1).key
    assert part["key"] == "fit_wheels"  # the one change that lets it cut at all
    reader = Reader(language, "us")
    runs = one_change._runs(part, facts)
    table = one_change._options_table(facts, runs, reader)
    barred = [cost for _, cost, _ in table.rows if cost.startswith(limit)]
    assert len(barred) == len(table.rows) - 1
