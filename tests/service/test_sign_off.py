"""Yard sign-offs: safe stop first, not for oneself, each entry once, then closed."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from academy.catalog import headers, yard
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.records.queries import chain, sign_offs
from academy.service import sign_off, sign_off_view
from academy.service.house import House
from academy.service.sign_off import Given
from academy.service.sign_off_standing import needed
from academy.service.viewer import Viewer

NOW = datetime(2026, 9, 2, 15, 0, tzinfo=UTC)
LIST, HEADER = "yard-helper", "flex35"
RIGHT = Given(right=True)
WARM = Given(entered={"temperature": [60.0, "degC"]})
ITEMS = yard.items_of(LIST, headers.load(HEADER))
STOP = [item.key for item in ITEMS["safe-stop"]]
REST = [item for name, items in ITEMS.items() if name != "safe-stop" for item in items]


class Yard:
    """A lead with an open list for a hire, and short ways to use it."""

    def __init__(self, house: House, lead: Viewer, hire: Viewer) -> None:
        self.house, self.lead, self.hire = house, lead, hire
        self.id = self.open()
        self._count = 0

    def open(self, looking: Viewer | None = None, person: str | None = None) -> str:
        who = looking or self.lead
        whom = person or self.hire.person_id
        return sign_off.open_sign_off(self.house, who, whom, LIST, HEADER, NOW)

    def enter(self, item: str, given: Given = RIGHT, key: str = "", **how: Any) -> None:
        self._count += 1
        who = how.get("looking", self.lead)
        key = key or f"key-{self._count}"
        sign_off.enter(self.house, who, self.id, item, given, key, NOW)

    def stop(self) -> None:
        for key in STOP:
            self.enter(key)

    def everything(self, but: set[str] = frozenset()) -> None:  # type: ignore[assignment]
        self.stop()
        for item in REST:
            if item.key not in but:
                self.enter(item.key, WARM if item.kind == "measured" else RIGHT)

    def sign(self, outcome: str, note: str = "", looking: Viewer | None = None) -> str:
        who = looking or self.lead
        return sign_off.sign(self.house, who, self.id, outcome, note, NOW)

    def entries(self) -> dict[str, sign_offs.Entry]:
        with self.house.db.read() as connection:
            return sign_offs.entries(connection, self.id)

    def log(self, kind: str) -> list[Any]:
        with self.house.db.read() as connection:
            told = chain.entries(connection, chain.FARM)
        return [one.body for one in told if one.kind == kind]


@pytest.fixture
def made(house: House, join: Callable[..., Any]) -> Yard:
    lead, hire = join("Baltazar Oyarce", "lead"), join("Ilse Quade")
    return Yard(house, lead.viewer, hire.viewer)


def test_nothing_opens_before_every_step_of_the_safe_stop_was_right(made: Yard) -> None:
    for key in STOP[:-1]:
        made.enter(key)
        with pytest.raises(Conflict, match="safe_stop_first"):
            made.enter("hand-signs")
    made.enter(STOP[-1], Given(right=False))
    with pytest.raises(Conflict, match="safe_stop_first"):
        made.enter("bearing-temperature", WARM)
    made.enter(STOP[-1])
    made.enter("hand-signs")
    assert made.entries()["hand-signs"].right
    made.enter(STOP[0], Given(right=False))  # it was not so safe after all
    with pytest.raises(Conflict, match="safe_stop_first"):
        made.enter("no-ride")


def test_an_entry_that_came_too_early_is_not_lost_and_counts_when_sent_again(
    made: Yard,
) -> None:
    early = ("bearing-temperature", WARM, "kept on the phone")
    with pytest.raises(Conflict, match="safe_stop_first"):
        made.enter(*early)
    for key in reversed(STOP):  # in whatever order they arrive
        made.enter(key)
    made.enter(*early)
    entry = made.entries()["bearing-temperature"]
    assert (entry.tries, entry.right) == (1, True)


def test_the_same_entry_sent_twice_counts_once_and_a_correction_counts_as_a_try(
    made: Yard,
) -> None:
    made.enter(STOP[0], Given(right=False), "first")
    made.enter(STOP[0], Given(right=False), "first")
    made.enter(STOP[0], RIGHT, "second")
    made.enter(STOP[0], Given(right=False), "first")  # arrives late, once more
    entry = made.entries()[STOP[0]]
    assert (entry.tries, entry.right) == (2, True)
    told = [(one["tries"], one["right"]) for one in made.log("sign-off-item")]
    assert told == [(1, False), (2, True)]
    made.enter(STOP[0], Given(right=False), "second")  # the page's key, another answer
    assert made.entries()[STOP[0]].tries == 3


def test_what_several_phones_send_at_once_counts_once(made: Yard) -> None:
    def send(_phone: int) -> str:
        made.enter(STOP[0], RIGHT, "the same")
        return made.open()

    with ThreadPoolExecutor(4) as phones:
        opened = set(phones.map(send, range(8)))
    assert opened == {made.id}
    assert made.entries()[STOP[0]].tries == 1
    assert len(made.log("sign-off-item")) == 1


def test_a_value_out_of_order_is_kept_and_is_not_right(made: Yard) -> None:
    made.stop()
    made.enter("bearing-temperature", Given(entered={"temperature": [95, "degC"]}))
    entry = made.entries()["bearing-temperature"]
    assert (entry.right, entry.entered) == (False, {"temperature": [95, "degC"]})
    with pytest.raises(Conflict, match="sign_off_not_complete"):
        made.sign("done")
    with pytest.raises(NotUnderstood, match="choose_one"):
        made.enter("bearing-temperature", RIGHT)  # nothing was measured


def test_nobody_opens_enters_or_signs_their_own(made: Yard) -> None:
    with pytest.raises(NotAllowed, match="no_record_of_oneself"):
        made.open(person=made.lead.person_id)
    for deed in (
        lambda: made.open(looking=made.hire),
        lambda: made.enter(STOP[0], looking=made.hire),
        lambda: made.sign("not-yet", looking=made.hire),
    ):
        with pytest.raises(NotAllowed):
            deed()
    assert made.entries() == {}


def test_a_hire_and_a_lead_of_another_crew_see_none_of_it(
    made: Yard, house: House, owner: Viewer, join: Callable[..., Any]
) -> None:
    from academy.service import farm

    other = farm.add_crew(house, owner, "Second crew")
    strange = join("Renata Soule", "lead", crew_id=other).viewer
    teacher = join("Tilda Marsh", "instructor", crew_id=other).viewer
    mate = join("Pia Ames").viewer
    for who in (strange, mate):
        with pytest.raises(NotFound):
            made.open(looking=who)
        with pytest.raises(NotFound):
            made.enter(STOP[0], looking=who)
        with pytest.raises(NotFound):
            sign_off_view.one(house, who, made.id, _reader(who))
    # an owner and an instructor see it, open their own, and do not enter in this one
    for who in (owner, teacher):
        assert sign_off_view.one(house, who, made.id, _reader(who)).may_enter is False
        with pytest.raises(NotAllowed, match="sign_off_of_another_lead"):
            made.enter(STOP[0], looking=who)
        assert made.open(looking=who) != made.id
    assert sign_off_view.one(house, made.hire, made.id, _reader(made.hire)).person_id


def _reader(viewer: Viewer) -> Any:
    from academy.language import Reader

    return Reader("es" if viewer.language == "es" else "en", "us")


def test_opening_twice_goes_on_with_the_open_one(made: Yard) -> None:
    assert made.open() == made.id
    assert len(made.log("sign-off-opened")) == 1
    made.sign("not-yet")
    assert made.open() != made.id


def test_it_is_signed_when_all_that_must_be_right_is_and_enough_of_the_rest(
    made: Yard,
) -> None:
    others = [i.key for i in REST if not i.critical and i.kind == "seen"]
    # 80 % of 11 steps is 8.8: 9 are needed, 2 may be missing
    assert len(others) == 11
    assert [needed(steps) for steps in (0, 1, 5, 11)] == [0, 1, 4, 9]
    made.everything(but=set(others[:3]))
    with pytest.raises(Conflict, match="sign_off_not_complete"):
        made.sign("done")
    made.enter(others[0])
    assert made.sign("done") == "done"
    with made.house.db.read() as connection:
        kept = sign_offs.done_of(connection, made.hire.person_id, LIST)
    assert kept is not None
    assert (kept.id, kept.outcome, kept.signed_at) == (made.id, "done", NOW)
    (told,) = made.log("signed-off")
    assert told["outcome"] == "done"
    assert told["by"] == made.lead.person_id


def test_a_missing_critical_step_keeps_it_from_being_signed(made: Yard) -> None:
    made.everything(but={"no-ride"})
    with pytest.raises(Conflict, match="sign_off_not_complete"):
        made.sign("done")
    assert made.sign("not-yet") == "not-yet"


def test_a_signed_one_is_closed_for_ever(made: Yard) -> None:
    made.everything()
    with pytest.raises(NotUnderstood, match="say_why_not_yet"):
        made.sign("not-yet")
    with pytest.raises(OutOfRange, match="note_too_long"):
        made.sign("done", "x" * 401)
    made.sign("done", "steady hands")
    assert made.sign("done") == "done"  # sent twice
    for deed in (
        lambda: made.enter(STOP[0], Given(right=False)),
        lambda: made.sign("not-yet", "changed my mind"),
    ):
        with pytest.raises(Conflict, match="sign_off_signed"):
            deed()
    made.enter(STOP[0], RIGHT, "key-1")  # an entry it has already is no harm
    assert len(made.log("signed-off")) == 1


def test_a_list_that_changed_since_it_was_opened_takes_nothing_more(
    made: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    made.enter(STOP[0])
    monkeypatch.setattr(yard, "digest", lambda _key: "d" * 64)
    with pytest.raises(Conflict, match="sign_off_list_changed"):
        made.enter(STOP[1])
    shown = sign_off_view.one(made.house, made.lead, made.id, _reader(made.lead))
    assert shown.changed
    assert not shown.may_enter
    assert shown.standing.right == 1
    assert (shown.row.outcome, shown.anew) == ("changed", (LIST, HEADER))
    own = sign_off_view.one(made.house, made.hire, made.id, _reader(made.hire))
    assert (own.row.outcome, own.anew) == ("changed", None)
    fresh = made.open()
    assert fresh != made.id
    shown = sign_off_view.one(made.house, made.lead, fresh, _reader(made.lead))
    assert (shown.row.outcome, shown.changed, shown.anew) == ("open", False, None)
    assert shown.standing.right == 0
    with made.house.db.read() as connection:
        assert set(sign_offs.entries(connection, made.id)) == {STOP[0]}


def test_a_header_that_a_list_is_not_for_any_more_is_not_opened_anew(
    made: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    without = yard.load(LIST).model_copy(update={"headers": ("none",)})
    monkeypatch.setattr(yard, "digest", lambda _key: "d" * 64)
    monkeypatch.setattr(yard, "load", lambda _key: without)
    shown = sign_off_view.one(made.house, made.lead, made.id, _reader(made.lead))
    assert shown.changed
    assert shown.anew is None


def test_what_is_not_offered_is_refused(made: Yard) -> None:
    made.stop()
    with pytest.raises(NotFound, match="no_such_item"):
        made.enter("levers-alike")  # an item of other lists
    for list_key, header in (("none", HEADER), (LIST, "none")):
        with pytest.raises(NotUnderstood, match="not_a_choice"):
            sign_off.open_sign_off(
                made.house, made.lead, made.hire.person_id, list_key, header, NOW
            )
    with pytest.raises(NotFound):
        sign_off.open_sign_off(made.house, made.lead, "0" * 32, LIST, HEADER, NOW)


def test_the_log_holds_and_an_edited_entry_is_caught(made: Yard) -> None:
    from sqlalchemy import update

    from academy.records.tables.yard import sign_off_item
    from academy.service import log_check

    made.everything()
    made.sign("done")
    with made.house.db.read() as connection:
        assert log_check.check(connection).clean
    with made.house.db.write() as connection:
        connection.execute(
            update(sign_off_item)
            .where(sign_off_item.c.item == "bearing-temperature")
            .values(value={"entered": {"temperature": [55, "degC"]}, "keys": ["k"]})
        )
    with made.house.db.read() as connection:
        assert not log_check.check(connection).clean


def test_whoever_is_no_lead_any_more_enters_nothing(
    made: Yard, house: House, owner: Viewer
) -> None:
    from dataclasses import replace

    from academy.service import people

    demoted = replace(made.lead, roles=frozenset({"hire"}))
    with pytest.raises(NotFound):
        made.enter(STOP[0], looking=demoted)
    people.deactivate(house, owner, made.hire.person_id, NOW + timedelta(hours=1))
    with pytest.raises(NotFound):
        made.enter(STOP[0])
