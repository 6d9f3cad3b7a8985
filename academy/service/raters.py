"""Where real people put the line: what each expects of a just-qualified person.

Instructors and owners look at a drawn question of a family with its key and say which
share of full marks somebody who has only just qualified reaches on such questions. What
others said is shown only after one's own word on that family is in.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from statistics import fmean

from academy.catalog import blueprints, competence, families, topics
from academy.catalog.competence import CompetenceModel
from academy.competence.line_setting import MOST_ERROR, RATERS, Panel, panel
from academy.errors import Conflict, NotFound, OutOfRange
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import standard
from academy.records.queries.standard import Rating, Version
from academy.service import farm, line, log, viewer
from academy.service.house import House
from academy.service.lab_key import question_of
from academy.service.making import make
from academy.service.practice import reader_of
from academy.service.preview import key_of
from academy.service.viewer import Viewer
from academy.service.views import PartExplained, Question

SEED = 1
"""The draw that is shown first, and whose chance floor counts without a stock."""
_MARGIN = 0.02  # off what guessing gives, and off what nobody reaches
_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class Spread:
    """What all raters said of a family: how many, mean, lowest and highest (0 to 1)."""

    people: int
    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class FamilyRow:
    """A family to rate; ``spread`` is None until one's own rating is in."""

    key: str
    title: str
    topics: tuple[str, ...]
    own: float | None
    spread: Spread | None


@dataclass(frozen=True, slots=True)
class VersionTold:
    """One version of the line."""

    version: int
    day: date
    raters: int
    error: float
    families: int


@dataclass(frozen=True, slots=True)
class Raters:
    """The whole page; ``error`` in logits, None with too few raters.

    ``leaning`` is how far the viewer's own ratings lie above the mean, logits;
    ``may_set`` only for owners, and ``why_not`` says in a word what still lacks:
    raters, error or nothing.
    """

    families: tuple[FamilyRow, ...]
    rated: int
    together: int
    people: int
    error: float | None
    most_error: float
    leaning: float | None
    versions: tuple[VersionTold, ...]
    model_set: bool
    may_set: bool
    why_not: str


@dataclass(frozen=True, slots=True)
class ToRate:
    """One family to rate: a drawn question, its key, and between which shares."""

    row: FamilyRow
    seed: int
    question: Question
    key: tuple[PartExplained, ...]
    low: float
    high: float
    after: str | None


def raters(house: House, looking: Viewer) -> Raters:
    """What was rated, by how many, and where the line stands; raises NotFound."""
    _rates(looking)
    with house.db.read() as connection:
        kept = standard.ratings(connection)
        found = _panel(connection, kept)
        versions = standard.versions(connection)
        told = tuple(_told(connection, one) for one in versions)
        by_model = line.model_set(connection)
    why_not = _why_not(found, versions[0] if versions else None)
    return Raters(
        families=tuple(_row(key, kept, looking) for key in rated_families()),
        rated=sum(one.rater_id == looking.person_id for one in kept),
        together=len(found.expected),
        people=len({one.rater_id for one in kept}),
        error=found.error,
        most_error=MOST_ERROR,
        leaning=found.leaning.get(looking.person_id),
        versions=told,
        model_set=by_model,
        may_set=looking.owns and not why_not,
        why_not=why_not,
    )


def to_rate(house: House, looking: Viewer, key: str, seed: int) -> ToRate:
    """One family to rate, with one of its draws; raises NotFound, ContentError."""
    _rates(looking)
    _known(key)
    reader = reader_of(looking)
    payload = json.loads(make(key, seed).payload)
    with house.db.read() as connection:
        kept = standard.ratings(connection)
        low, high = _bounds(connection, key)
    rows = {one: _row(one, kept, looking) for one in rated_families()}
    unrated = [one for one, row in rows.items() if row.own is None and one != key]
    return ToRate(
        row=rows[key],
        seed=seed,
        question=question_of(key, payload, reader),
        key=key_of(key, payload, reader),
        low=low,
        high=high,
        after=unrated[0] if unrated else None,
    )


def rate(
    house: House, looking: Viewer, key: str, expected: float, now: datetime
) -> None:
    """Keep what the viewer expects in a family (0 to 1); it may be changed later.

    Raises NotFound, OutOfRange for what guessing gives anyway or nobody reaches.
    """
    _rates(looking)
    _known(key)
    with house.db.read() as connection:
        low, high = _bounds(connection, key)
    if not low <= expected <= high:
        raise OutOfRange(
            "rating_out_of_range",
            value=f"{100 * expected:.0f} %",
            low=f"{100 * low:.0f} %",
            high=f"{100 * high:.0f} %",
        )
    told = round(expected, _DECIMALS)
    with house.db.write() as connection:
        standard.rate(connection, looking.person_id, key, told, now)
        log.tell(connection, "rated", now, looking.person_id, key)


def set_line(house: House, looking: Viewer, now: datetime) -> int:
    """Make a new version of the line of what raters said so far; its number.

    It holds for assessments released from now on, never for earlier ones. Raises
    NotAllowed for all but owners; Conflict with fewer than three raters in every
    family, with too large an error, and when it would be the same again.
    """
    viewer.require_owner(looking)
    with house.db.write() as connection:
        farms.hold(connection)
        found = _panel(connection, standard.ratings(connection))
        before = standard.newest(connection)
        why_not = _why_not(found, before)
        if why_not or found.error is None:
            raise Conflict(f"line_needs_{why_not}", most=MOST_ERROR, least=RATERS)
        made = Version(
            version=1 if before is None else before.version + 1,
            made_by=looking.person_id,
            made_at=now,
            raters=found.raters,
            standard_error=found.error,
            body=_body(found),
        )
        standard.add_version(connection, made)
        log.tell(connection, "line-set", now, made.version)
    return made.version


def rated_families() -> tuple[str, ...]:
    """Families that an assessment of some certificate can ask, in the lists' order."""
    asked = {
        key
        for blueprint in blueprints.known().values()
        for topic in blueprint.weights
        for key in blueprints.families_for(blueprint, topic)
    }
    return tuple(key for key in families.known() if key in asked)


def _body(found: Panel) -> dict[str, object]:
    expected = {
        key: {"expected": round(told, _DECIMALS)}
        for key, told in sorted(found.expected.items())
    }
    return {"families": expected, "raters": sorted(found.leaning)}


def _why_not(found: Panel, newest: Version | None) -> str:
    """What a version of the line lacks: raters, less_error, change; or nothing."""
    if found.error is None:
        return "raters"
    if found.error > MOST_ERROR:
        return "less_error"
    if newest is not None and dict(newest.body) == _body(found):
        return "change"
    return ""


def _rates(looking: Viewer) -> None:
    """Instructors and owners rate; for everybody else there is no such page."""
    if not (looking.owns or "instructor" in looking.roles):
        raise NotFound("no_such_page")


def _known(key: str) -> None:
    if key not in rated_families():
        raise NotFound("no_such_content", name=key)


def _panel(connection: Connection, kept: tuple[Rating, ...]) -> Panel:
    """All ratings of families that are still asked, together."""
    model, asked = competence.load(), set(rated_families())
    floors = _floors(connection, {one.family for one in kept} & asked)
    ratings: dict[str, dict[str, float]] = {}
    for one in kept:
        if one.family in asked:
            low, high = _ends(floors[one.family], model)
            expected = min(max(one.expected, low), high)
            ratings.setdefault(one.rater_id, {})[one.family] = expected
    return panel(ratings, floors, model)


def _floors(connection: Connection, keys: set[str]) -> Mapping[str, float]:
    """What guessing gives on average over a family's parts."""
    shelf = standard.floors_on_the_shelf(connection)
    return {key: shelf[key] if key in shelf else _drawn_floor(key) for key in keys}


@cache
def _drawn_floor(key: str) -> float:
    return fmean(part.floor for part in make(key, SEED).parts)


def _bounds(connection: Connection, key: str) -> tuple[float, float]:
    return _ends(_floors(connection, {key})[key], competence.load())


def _ends(floor: float, model: CompetenceModel) -> tuple[float, float]:
    return floor + _MARGIN, model.ceiling - _MARGIN


def _row(key: str, kept: tuple[Rating, ...], looking: Viewer) -> FamilyRow:
    here = {one.rater_id: one.expected for one in kept if one.family == key}
    own = here.get(looking.person_id)
    said = list(here.values())
    content, language = families.load(key), looking.language
    named = dict.fromkeys(part.topic for part in content.parts)
    return FamilyRow(
        key=key,
        title=content.title.for_language(language),
        topics=tuple(topics.load()[one].name.for_language(language) for one in named),
        own=own,
        spread=None
        if own is None
        else Spread(len(said), fmean(said), min(said), max(said)),
    )


def _told(connection: Connection, one: Version) -> VersionTold:
    return VersionTold(
        version=one.version,
        day=farm.day_at(connection, one.made_at),
        raters=one.raters,
        error=one.standard_error,
        families=len(one.body["families"]),
    )
