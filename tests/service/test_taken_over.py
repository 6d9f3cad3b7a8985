"""A yard list taken over: both names stay, and the safe stop is seen anew."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import update

from academy.catalog import headers, yard
from academy.errors import Conflict, NotAllowed, NotFound
from academy.language import Reader
from academy.records.queries import appeals, chain, sign_offs
from academy.records.tables.yard import sign_off_take_over
from academy.service import certificate_standing, certificates, log_check, sign_off
from academy.service import farm as farms
from academy.service.house import House
from academy.service.settings import Settings
from academy.service.sign_off import Given
from academy.service.sign_off_view import one as view
from academy.service.viewer import Viewer

NOW = datetime(2026, 9, 2, 15, 0, tzinfo=UTC)
LIST, HEADER = "yard-helper", "flex35"
RIGHT = Given(right=True)
WARM = Given(entered={"temperature": [60.0, "degC"]})
ITEMS = yard.items_of(LIST, headers.load(HEADER))
STOP = [item.key for item in ITEMS["safe-stop"]]
REST = [item for name, items in ITEMS.items() if name != "safe-stop" for item in items]
EN = Reader("en", "us")


class Yard:
    """An open list of a lead for a hire, and a clock that goes on with each deed."""

    def __init__(self, house: House, crew: dict[str, Viewer]) -> None:
        self.house, self.crew, self.now = house, crew, NOW
        self.id = sign_off.open_sign_off(
            house, crew["lead"], crew["hire"].person_id, LIST, HEADER, NOW
        )

    def enter(self, who: str, item: str, given: Given = RIGHT) -> None:
        self.now += timedelta(seconds=30)
        key = f"{self.now:%H%M%S}"
        sign_off.enter(self.house, self.crew[who], self.id, item, given, key, self.now)

    def take(self, who: str, holder: str = "lead") -> None:
        self.now += timedelta(seconds=30)
        had = self.crew[holder].person_id
        sign_off.take_over(self.house, self.crew[who], self.id, had, self.now)

    def stop(self, who: str) -> None:
        for item in STOP:
            self.enter(who, item)

    def rest(self, who: str) -> None:
        for item in REST:
            self.enter(who, item.key, WARM if item.kind == "measured" else RIGHT)

    def sign(self, who: str) -> str:
        return sign_off.sign(self.house, self.crew[who], self.id, "done", "", self.now)

    def seen(self, who: str = "second") -> Any:
        return view(self.house, self.crew[who], self.id, EN)

    def clean(self) -> bool:
        with self.house.db.read() as connection:
            return log_check.check(connection).flaws == ()


@pytest.fixture
def made(house: House, owner: Viewer, join: Callable[..., Any]) -> Yard:
    far = farms.add_crew(house, owner, "North crew")
    crew = {
        "owner": owner,
        "lead": join("Baltazar Oyarce", "lead").viewer,
        "second": join("Pia Lund", "lead").viewer,
        "far lead": join("Tomas Reed", "lead", crew_id=far).viewer,
        "instructor": join("Ines Vidal", "instructor").viewer,
        "hire": join("Ilse Quade").viewer,
    }
    return Yard(house, crew)


def test_who_takes_it_over_sees_the_safe_stop_anew_and_signs(made: Yard) -> None:
    made.stop("lead")
    made.rest("lead")
    assert made.seen().standing.complete
    with pytest.raises(NotAllowed, match="sign_off_of_another_lead"):
        made.sign("second")
    made.take("second")
    assert not made.seen().standing.opened
    with pytest.raises(Conflict, match="sign_off_not_complete"):
        made.sign("second")
    with pytest.raises(Conflict, match="safe_stop_first"):
        made.enter("second", REST[0].key)
    with pytest.raises(NotAllowed, match="sign_off_of_another_lead"):
        made.enter("lead", STOP[0])
    made.stop("second")
    assert made.sign("second") == "done"  # what stands beyond it is not seen anew
    assert made.clean()


def test_every_step_says_who_saw_it(made: Yard) -> None:
    made.stop("lead")
    made.enter("lead", REST[0].key)
    assert {item.by for group in made.seen().groups for item in group.items} == {""}
    made.take("second")
    before = {item.key: item for group in made.seen().groups for item in group.items}
    assert all(before[key].anew for key in STOP)
    assert {before[key].word for key in STOP} == {"open"}
    assert not before[REST[0].key].anew
    made.stop("second")
    made.enter("second", REST[1].key)
    told = {item.key: item for group in made.seen().groups for item in group.items}
    assert {told[key].by for key in STOP} == {"Pia Lund"}
    assert told[REST[0].key].by == "Baltazar Oyarce"
    assert told[REST[1].key].by == "Pia Lund"
    with made.house.db.read() as connection:
        entry = sign_offs.entries(connection, made.id)[STOP[0]]
    assert entry.tries == 2  # both entries stay counted
    row = made.seen().row
    assert (row.opened_by, row.lead) == ("Baltazar Oyarce", "Pia Lund")
    assert row.seen_by == "Baltazar Oyarce, Pia Lund"


def test_who_may_take_it_over(made: Yard) -> None:
    with pytest.raises(NotAllowed, match="no_record_of_oneself"):
        made.take("hire")
    with pytest.raises(NotFound):  # whom one may not see, one finds nothing of
        made.take("far lead")
    made.take("second")
    made.take("second")  # twice is no harm
    with pytest.raises(Conflict, match="sign_off_taken_meanwhile"):
        made.take("owner")  # the page still said that the first lead has it
    made.take("instructor", "second")
    made.take("owner", "instructor")
    made.take("lead", "owner")  # and back
    assert made.seen().row.seen_by == (
        "Baltazar Oyarce, Pia Lund, Ines Vidal, Odalys Penrose"
    )
    with made.house.db.read() as connection:
        taken = sign_offs.taken_over(connection, [made.id])[made.id]
        kinds = [one.kind for one in chain.entries(connection, chain.FARM)]
    assert [one.place for one in taken] == [1, 2, 3, 4]
    assert kinds.count("sign-off-taken-over") == 4
    assert made.clean()
    with made.house.db.write() as connection:
        other = made.crew["far lead"].person_id
        connection.execute(update(sign_off_take_over).values(from_id=other))
    assert not made.clean()


def test_a_signed_list_is_not_taken_over(made: Yard) -> None:
    made.stop("lead")
    made.rest("lead")
    made.sign("lead")
    assert made.seen().holder == ""
    with pytest.raises(Conflict, match="sign_off_signed"):
        made.take("second")


def test_both_count_as_trainers_and_stand_on_the_certificate(
    house: House, made: Yard, show: Callable[..., Any]
) -> None:
    """Neither decides on the certificate, nor on an appeal against it."""
    house = replace(house, settings=Settings(site_address="https://farm.example"))
    crew, hire = made.crew, made.crew["hire"].person_id
    ids = {name: who.person_id for name, who in crew.items()}
    shown = show(
        hire, released_by=ids["owner"], seen_by=ids["lead"], now=NOW,
        key=LIST, signed=None,
    )  # fmt: skip
    made.id = shown.sign_off_id
    with house.db.write() as connection:
        told = sign_offs.TakeOver(made.id, 1, ids["lead"], ids["second"], NOW)
        sign_offs.take_over(connection, told)
        sign_offs.sign(connection, made.id, "done", None, NOW)
    with house.db.read() as connection:
        found = certificate_standing.grounds(connection, house.catalog, [hire], NOW)
    (mine,) = (one for one in found[hire] if one.key == LIST)
    assert mine.leads == (ids["lead"], ids["second"])
    assert certificates.trainers(mine) == {ids["lead"], ids["second"], ids["owner"]}
    for name in ("lead", "second"):
        with pytest.raises(NotAllowed, match="trainer_does_not_decide"):
            certificates.issue(house, crew[name], hire, LIST, "en", NOW)
    certificates.issue(house, crew["instructor"], hire, LIST, "en", NOW)
    with house.db.read() as connection:
        part = appeals.had_part_in(connection, [shown.assessment_id])
    assert part == {ids["lead"], ids["second"], ids["instructor"]}


def test_the_paper_names_all_who_saw_it(
    house: House, made: Yard, show: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    house = replace(house, settings=Settings(site_address="https://farm.example"))
    ids = {name: who.person_id for name, who in made.crew.items()}
    shown = show(
        ids["hire"], released_by=ids["owner"], seen_by=ids["lead"], now=NOW, key=LIST,
    )  # fmt: skip
    with house.db.write() as connection:
        told = sign_offs.TakeOver(shown.sign_off_id, 1, ids["lead"], ids["second"], NOW)
        sign_offs.take_over(connection, told)
    given = certificates.issue(
        house, made.crew["instructor"], ids["hire"], LIST, "en", NOW
    )
    papers: list[Any] = []
    monkeypatch.setattr(
        certificates.certificate_pdf, "made", lambda page: papers.append(page) or b""
    )
    certificates.as_pdf(house, made.crew["owner"], given)
    said = dict(papers[0].facts)["Yard sign-off"]
    assert "seen by Baltazar Oyarce, Pia Lund, on the" in said
