"""Yard sign-offs as pages show them: a person's, one in full, a list on paper."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from academy import units
from academy.catalog import headers, sources, yard
from academy.catalog.headers import Header
from academy.catalog.yard import Input, Item
from academy.errors import AcademyError, NotFound
from academy.language import Reader, plain_number, unit_word, with_unit
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import people, sign_offs
from academy.records.queries.people import Person
from academy.records.queries.sign_offs import Entry, SignOff
from academy.service import farm, yard_access, yard_judges
from academy.service.evidence_words import EVIDENCE
from academy.service.house import House
from academy.service.sign_off_standing import (
    Standing,
    counted,
    needed,
    seen_by,
    standing,
)
from academy.service.viewer import Viewer

OPEN, RIGHT, NOT_YET, CHANGED = "open", "right", "not-yet", "changed"


@dataclass(frozen=True, slots=True)
class ItemView:
    """One item: ``word`` is open, right or not-yet; ``values`` as they were typed.

    ``by`` is who saw it, told only of a list that was taken over; ``anew`` a step of
    the safe stop that has to be seen again since.

    ``must`` items have to be right; ``inputs`` are what a measured one asks for.
    """

    key: str
    text: str
    why: str
    measured: bool
    must: bool
    evidence: str
    source: str  # key of its page
    inputs: tuple[tuple[str, str], ...]
    hints: Mapping[str, str]
    word: str = OPEN
    tries: int = 0
    by: str = ""
    anew: bool = False
    said: str = ""
    values: tuple[tuple[str, str], ...] = ()
    typed: Mapping[str, str] = field(default_factory=dict)  # to put into the form again


@dataclass(frozen=True, slots=True)
class GroupView:
    """Items that belong together; ``closed`` until the safe stop was seen."""

    key: str
    title: str
    about: str
    items: tuple[ItemView, ...]
    closed: bool
    right: int


@dataclass(frozen=True, slots=True)
class Row:
    """One sign-off in a list; ``outcome`` is open, done, not-yet or changed.

    Changed: it was open when its list changed in the content, and takes nothing more.
    ``lead`` has it now; ``taken`` are who had it after ``opened_by``, each with a day.
    """

    id: str
    title: str
    header: str
    lead: str
    opened_by: str
    taken: tuple[tuple[str, date], ...]
    opened: date
    signed: date | None
    outcome: str

    @property
    def seen_by(self) -> str:
        """The names of all who had it, in order, each once."""
        names = (self.opened_by, *(name for name, _day in self.taken))
        return ", ".join(dict.fromkeys(names))


@dataclass(frozen=True, slots=True)
class SignOffView:
    """One sign-off in full; ``must`` are texts of what has to be right and is not.

    ``changed``: the list in the content is no longer the one that was opened; ``anew``
    is the key of that list and header where the viewer may open it as it is now;
    ``holder`` is the id of who has it, empty unless the viewer may take it over.
    """

    row: Row
    person_id: str
    person: str
    about: str
    groups: tuple[GroupView, ...]
    standing: Standing
    must: tuple[str, ...]
    note: str
    may_enter: bool
    holder: str
    changed: bool
    anew: tuple[str, str] | None
    crops: tuple[str, ...]
    measured: Mapping[str, Item]  # for the forms of the values


@dataclass(frozen=True, slots=True)
class PersonView:
    """A person's sign-offs, and what may be opened: lists and headers by key."""

    person_id: str
    person: str
    rows: tuple[Row, ...]
    may_open: bool
    lists: tuple[tuple[str, str, str], ...]
    headers: tuple[tuple[str, str], ...]
    header: str  # the farm's own


@dataclass(frozen=True, slots=True)
class PaperView:
    """A list on a header without anybody's entries, to print.

    ``needed`` of ``others`` steps that are not critical have to be right.
    """

    title: str
    about: str
    header: str
    groups: tuple[GroupView, ...]
    needed: int
    others: int


def of_person(
    house: House, looking: Viewer, person_id: str, reader: Reader
) -> PersonView:
    """A person's sign-offs, for those who may see them; raises NotFound."""
    language = reader.language
    with house.db.read() as connection:
        person = yard_access.seen(connection, looking, person_id)
        kept = sign_offs.of_person(connection, person_id)
        rows = tuple(_row(connection, one, reader) for one in kept)
        known = farms.get(connection)
    return PersonView(
        person_id=person_id,
        person=person.name or "",
        rows=rows,
        may_open=yard_access.may_keep(looking, person),
        lists=tuple(
            (key, one.title.for_language(language), one.about.for_language(language))
            for key, one in yard.known().items()
        ),
        headers=tuple(
            (key, headers.load(key).name.for_language(language))
            for key in headers.known()
        ),
        header=known.header_key if known else headers.known()[0],
    )


def one(house: House, looking: Viewer, sign_off_id: str, reader: Reader) -> SignOffView:
    """A sign-off in full, for its person and those who look after them.

    Raises NotFound.
    """
    with house.db.read() as connection:
        kept, person = _seen(connection, looking, sign_off_id)
        entered = sign_offs.entries(connection, sign_off_id)
        taken = sign_offs.takes_of(connection, sign_off_id)
        row = _row(connection, kept, reader)
        seen = {
            key: _name(connection, seen_by(entry, kept, taken))
            for key, entry in entered.items()
            if taken
        }
    header = headers.load(kept.header_key)
    groups = yard.items_of(kept.list_key, header)
    counting = counted(groups, entered, taken)
    found = standing(groups, counting)
    items = {item.key: item for each in groups.values() for item in each}
    wanted = yard.load(kept.list_key)
    changed = kept.list_digest != yard.digest(kept.list_key)
    may = yard_access.may_take_over(looking, kept, person) and not changed
    shown = _groups(groups, counting, header, reader, found.opened)
    return SignOffView(
        row=row,
        person_id=person.id,
        person=person.name or "",
        about=wanted.about.for_language(reader.language),
        groups=tuple(_told_by(each, seen, counting) for each in shown),
        standing=found,
        must=tuple(items[key].text.for_language(reader.language) for key in found.must),
        note=kept.note or "",
        may_enter=yard_access.may_enter(looking, kept, person) and not changed,
        holder=kept.lead_id if may else "",
        changed=changed,
        anew=_anew(kept) if changed and yard_access.may_keep(looking, person) else None,
        crops=wanted.crops,
        measured={k: item for k, item in items.items() if item.kind == "measured"},
    )


def paper(list_key: str, header_key: str, reader: Reader) -> PaperView:
    """A list to print; raises NotFound for a list or header that is not offered."""
    wanted = yard.load(list_key)
    if header_key not in wanted.headers:
        raise NotFound("no_such_content", name=header_key)
    header = headers.load(header_key)
    items = yard.items_of(list_key, header)
    groups = _groups(items, {}, header, reader, opened=True)
    others = sum(not item.must for group in groups for item in group.items)
    return PaperView(
        title=wanted.title.for_language(reader.language),
        about=wanted.about.for_language(reader.language),
        header=header.name.for_language(reader.language),
        groups=groups,
        needed=needed(others),
        others=others,
    )


def _anew(kept: SignOff) -> tuple[str, str] | None:
    """List and header to open again; None for a header that it is not for any more."""
    offered = kept.header_key in yard.load(kept.list_key).headers
    return (kept.list_key, kept.header_key) if offered else None


def _seen(
    connection: Connection, looking: Viewer, sign_off_id: str
) -> tuple[SignOff, Person]:
    kept = sign_offs.get(connection, sign_off_id)
    if kept is None:
        raise NotFound("no_such_sign_off")
    return kept, yard_access.seen(connection, looking, kept.person_id)


def _name(connection: Connection, person_id: str) -> str:
    found = people.get(connection, person_id)
    return (found.name if found else None) or "–"


def _told_by(
    group: GroupView, seen: Mapping[str, str], counting: Mapping[str, Entry]
) -> GroupView:
    """A group with who saw each item; empty where the list was never taken over."""
    items = tuple(
        replace(each, by=seen[each.key], anew=each.key not in counting)
        if each.key in seen
        else each
        for each in group.items
    )
    return replace(group, items=items)


def _row(connection: Connection, kept: SignOff, reader: Reader) -> Row:
    taken = sign_offs.takes_of(connection, kept.id)
    first = taken[0].from_id if taken else kept.lead_id
    signed = kept.signed_at and farm.day_at(connection, kept.signed_at)
    changed = kept.list_digest != yard.digest(kept.list_key)
    return Row(
        id=kept.id,
        title=yard.load(kept.list_key).title.for_language(reader.language),
        header=headers.load(kept.header_key).name.for_language(reader.language),
        lead=_name(connection, kept.lead_id),
        opened_by=_name(connection, first),
        taken=tuple(
            (_name(connection, one.by_id), farm.day_at(connection, one.at))
            for one in taken
        ),
        opened=farm.day_at(connection, kept.opened_at),
        signed=signed,
        outcome=kept.outcome or (CHANGED if changed else OPEN),
    )


def _groups(
    groups: Mapping[str, tuple[Item, ...]],
    entered: Mapping[str, Entry],
    header: Header,
    reader: Reader,
    opened: bool,
) -> tuple[GroupView, ...]:
    found = []
    for key, items in groups.items():
        told = yard.groups()[key]
        shown = tuple(
            _item(each, entered.get(each.key), header, reader) for each in items
        )
        found.append(
            GroupView(
                key=key,
                title=told.title.for_language(reader.language),
                about=told.about.for_language(reader.language) if told.about else "",
                items=shown,
                closed=not opened and key != yard.SAFE_STOP,
                right=sum(each.word == RIGHT for each in shown),
            )
        )
    return tuple(found)


def _item(item: Item, entry: Entry | None, header: Header, reader: Reader) -> ItemView:
    word = OPEN if entry is None else RIGHT if entry.right else NOT_YET
    entered = (entry.entered if entry else None) or {}
    return ItemView(
        key=item.key,
        text=item.text.for_language(reader.language),
        why=item.why.for_language(reader.language),
        measured=item.kind == "measured",
        must=item.critical or item.kind == "measured",
        evidence=EVIDENCE[item.evidence],
        source=item.source if sources.load()[item.source].published else "",
        inputs=tuple(
            (each.name.for_language(reader.language), _blank_unit(each, reader))
            for each in item.inputs
        ),
        hints={
            each.key: each.hint.for_language(reader.language) if each.hint else ""
            for each in item.inputs
        },
        word=word,
        tries=entry.tries if entry else 0,
        said=_said(item, entry, header, reader),
        values=tuple(
            (each.name.for_language(reader.language), _as_typed(each, entered, reader))
            for each in item.inputs
            if each.key in entered
        ),
        typed={key: _again(value, reader) for key, value in entered.items()},
    )


def _said(item: Item, entry: Entry | None, header: Header, reader: Reader) -> str:
    """What the judge says of the value that holds, if it says so still."""
    if entry is None or entry.entered is None:
        return ""
    try:
        judged = yard_judges.judged(item.judge, entry.entered, header)
    except (AcademyError, LookupError):
        return ""
    return judged.said(reader) if judged.right == entry.right else ""


def _as_typed(asked: Input, entered: Mapping[str, object], reader: Reader) -> str:
    value = entered[asked.key]
    if asked.options and value in asked.options:
        return asked.options[str(value)].for_language(reader.language)
    if asked.kind == yard.CROP:
        return yard.crop_name(str(value), reader.language)
    if asked.kind != yard.COUNTS and isinstance(value, list):
        number, label = value
        shown = plain_number(number, reader.language)
        return with_unit(shown, label, reader.language)
    return _again(value, reader)


def _again(value: object, reader: Reader) -> str:
    """What was entered as it is typed again, so that it keeps its unit."""
    if not isinstance(value, list):
        return str(value)
    if len(value) == 2 and isinstance(value[1], str):
        return f"{value[0]:g} {unit_word(value[1], reader.language)}".strip()
    return " ".join(str(count) for count in value)


def _blank_unit(asked: Input, reader: Reader) -> str:
    """What stands behind the blank on paper: a unit, or the choices."""
    if asked.options:
        return " / ".join(
            one.for_language(reader.language) for one in asked.options.values()
        )
    if asked.kind in (yard.COUNTS, yard.BOOK, yard.CROP):
        return ""
    label, _decimals = units.KINDS[asked.kind].shown(reader.units)
    return unit_word(label, reader.language)
