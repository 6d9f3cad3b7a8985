"""The yard sign-off: opened by a lead who is not the person, entered, signed for ever.

Another who looks after the person may take it over while it is open.

Everything but the observed safe stop is refused until every step of that was right. An
entry that comes twice counts once; a corrected one counts as a further try, and the
last one holds. Each is told into the log in the same write.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from academy.catalog import headers, yard
from academy.catalog.yard import Item
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.records.connection import Connection
from academy.records.queries import sign_offs
from academy.records.queries.sign_offs import Entry, SignOff, TakeOver
from academy.service import log, written, yard_access, yard_judges
from academy.service.house import House
from academy.service.sign_off_standing import counted, standing
from academy.service.viewer import Viewer

DONE, NOT_YET = "done", "not-yet"
LONGEST_NOTE = 400


@dataclass(frozen=True, slots=True)
class Given:
    """What is entered for an item: seen right or not, or what was measured.

    ``entered`` holds numbers as typed (``[0.6, "mm"]``), counts as lists, choices as
    text; None for a step that is seen.
    """

    right: bool = False
    entered: Mapping[str, Any] | None = None


def open_sign_off(
    house: House,
    looking: Viewer,
    person_id: str,
    list_key: str,
    header_key: str,
    now: datetime,
) -> str:
    """Open a list for a person on a header; its id.

    One that this lead has open already is gone on with. Raises NotFound, NotAllowed
    for oneself, NotUnderstood for a list or header that is not offered.
    """
    written.choice(list_key, yard.known(), "list")
    written.choice(header_key, yard.load(list_key).headers, "header")
    digest = yard.digest(list_key)
    with house.db.write() as connection:
        yard_access.led(connection, looking, person_id)
        sign_offs.hold_person(connection, person_id)
        for kept in sign_offs.of_person(connection, person_id):
            if _same(kept, looking, list_key, header_key, digest):
                return kept.id
        made = sign_offs.open_one(
            connection,
            person_id=person_id,
            list_key=list_key,
            list_digest=digest,
            header_key=header_key,
            lead_id=looking.person_id,
            now=now,
        )
        log.tell(connection, "sign-off-opened", now, made)
    return made


def take_over(
    house: House, looking: Viewer, sign_off_id: str, holder: str, now: datetime
) -> None:
    """Take an open list over from the lead who has it; twice is no harm.

    ``holder`` is who had it on the page. From now on only the viewer enters and signs,
    after seeing the safe stop anew. Raises NotFound for whom one may not see,
    NotAllowed for oneself, Conflict when it is signed, its list has changed, or
    somebody else took it meanwhile.
    """
    with house.db.write() as connection:
        kept = sign_offs.hold(connection, sign_off_id)
        if kept is None:
            raise NotFound("no_such_sign_off")
        yard_access.led(connection, looking, kept.person_id)
        if kept.lead_id == looking.person_id:
            return
        _refuse_signed(kept)
        if kept.lead_id != holder:
            raise Conflict("sign_off_taken_meanwhile")
        place = len(sign_offs.takes_of(connection, sign_off_id)) + 1
        told = TakeOver(sign_off_id, place, kept.lead_id, looking.person_id, now)
        sign_offs.take_over(connection, told)
        log.tell(connection, "sign-off-taken-over", now, sign_off_id, place)


def enter(
    house: House,
    looking: Viewer,
    sign_off_id: str,
    item_key: str,
    given: Given,
    client_key: str,
    now: datetime,
) -> None:
    """Enter an item, or enter it anew; the same entry sent twice counts once.

    Raises NotFound, NotAllowed for all but its lead, Conflict before the safe stop was
    seen and once it is signed, and what a judge refuses.
    """
    key = _entry_key(client_key, item_key, given)
    with house.db.write() as connection:
        kept = _held(connection, looking, sign_off_id)
        entered = sign_offs.entries(connection, sign_off_id)
        before = entered.get(item_key, Entry(item_key, 0, False, None, (), now))
        if key in before.keys:
            return
        item = _item(kept, item_key)
        _refuse_closed(kept, item, entered, sign_offs.takes_of(connection, sign_off_id))
        now_entered = Entry(
            item=item_key,
            tries=before.tries + 1,
            right=_right(kept, item, given),
            entered=dict(given.entered) if given.entered is not None else None,
            keys=(*before.keys, key),
            at=now,
        )
        sign_offs.keep(connection, sign_off_id, now_entered)
        log.tell(
            connection,
            "sign-off-item",
            now,
            sign_off_id,
            item_key,
            by=looking.person_id,
        )


def sign(
    house: House,
    looking: Viewer,
    sign_off_id: str,
    wanted: str,
    note: str,
    now: datetime,
) -> str:
    """Close a sign-off for ever, as done or as not yet; the outcome.

    Signed the same way twice is no harm. Raises Conflict for done while something is
    missing and for one that is signed otherwise; NotUnderstood for not yet without a
    word why, when nothing is missing; NotFound, NotAllowed, OutOfRange.
    """
    written.choice(wanted, (DONE, NOT_YET), "outcome")
    tidy = _note(note)
    with house.db.write() as connection:
        kept = _held(connection, looking, sign_off_id)
        if kept.outcome == wanted:
            return wanted
        _refuse_signed(kept)
        entered = sign_offs.entries(connection, sign_off_id)
        groups = yard.items_of(kept.list_key, headers.load(kept.header_key))
        taken = sign_offs.takes_of(connection, sign_off_id)
        found = standing(groups, counted(groups, entered, taken))
        if wanted == DONE and not found.complete:
            missing = len(found.must) + found.more
            raise Conflict("sign_off_not_complete", value=missing)
        if wanted == NOT_YET and found.complete and not tidy:
            raise NotUnderstood("say_why_not_yet")
        sign_offs.sign(connection, sign_off_id, wanted, tidy or None, now)
        log.tell(connection, "signed-off", now, sign_off_id)
    return wanted


def _same(
    kept: SignOff, looking: Viewer, list_key: str, header_key: str, digest: str
) -> bool:
    """Whether it is this lead's own, still open, of the list as it is now."""
    wanted = (looking.person_id, list_key, header_key, digest, None)
    found = (kept.lead_id, kept.list_key, kept.header_key, kept.list_digest)
    return (*found, kept.signed_at) == wanted


def _held(connection: Connection, looking: Viewer, sign_off_id: str) -> SignOff:
    """The sign-off for its lead alone, who still looks after the person."""
    kept = sign_offs.hold(connection, sign_off_id)
    if kept is None:
        raise NotFound("no_such_sign_off")
    if kept.lead_id != looking.person_id:
        yard_access.seen(connection, looking, kept.person_id)
        raise NotAllowed("sign_off_of_another_lead")
    yard_access.led(connection, looking, kept.person_id)
    return kept


def _item(kept: SignOff, item_key: str) -> Item:
    groups = yard.items_of(kept.list_key, headers.load(kept.header_key))
    for item in (one for each in groups.values() for one in each):
        if item.key == item_key:
            return item
    raise NotFound("no_such_item")


def _refuse_signed(kept: SignOff) -> None:
    if kept.signed_at is not None:
        raise Conflict("sign_off_signed")
    if kept.list_digest != yard.digest(kept.list_key):
        raise Conflict("sign_off_list_changed")


def _refuse_closed(
    kept: SignOff,
    item: Item,
    entered: Mapping[str, Entry],
    taken: Sequence[TakeOver],
) -> None:
    _refuse_signed(kept)
    groups = yard.items_of(kept.list_key, headers.load(kept.header_key))
    if item in groups[yard.SAFE_STOP]:
        return
    if not standing(groups, counted(groups, entered, taken)).opened:
        raise Conflict("safe_stop_first")


def _right(kept: SignOff, item: Item, given: Given) -> bool:
    if (item.kind == "measured") != (given.entered is not None):
        raise NotUnderstood("choose_one")
    if given.entered is None:
        return given.right
    header = headers.load(kept.header_key)
    return yard_judges.judged(item.judge, given.entered, header).right


def _entry_key(client_key: str, item_key: str, given: Given) -> str:
    """What makes an entry the same one: its page's key, and what was entered."""
    entered = None if given.entered is None else dict(given.entered)
    told = [client_key, item_key, given.right, entered]
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:32]


def _note(note: str) -> str:
    tidy = " ".join(note.split())
    if len(tidy) > LONGEST_NOTE:
        raise OutOfRange("note_too_long", most=LONGEST_NOTE)
    return tidy
