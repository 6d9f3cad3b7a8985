"""Pictures of lessons, computed for the reader's own crop and header.

What is not out of order is as it ordinarily is, at the settings that cost least there.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Any

from academy.catalog import lesson_pictures
from academy.catalog.lesson_pictures import Compared, LessonPicture
from academy.engine.header import Readings, Settings
from academy.grading.verdict import Problem
from academy.language import Reader, marked
from academy.scenarios import whole
from academy.scenarios.following import Hanging
from academy.service import (
    ends_explained,
    engine_curves,
    pace_explained,
    setup_explained,
)
from academy.service.bench_choice import CURVES, Choice, plain_facts
from academy.service.flow_explained import Flowing, flow_picture
from academy.service.ground_explained import Ground, ground_picture
from academy.service.hour_explained import HourAsked, day_picture
from academy.service.knife_kinds_explained import Pace, knife_kind_picture
from academy.service.problems import problem_of, whole_problem_of
from academy.service.read_stubble import fault_picture
from academy.service.reel_sections_explained import reel_sections_picture
from academy.service.setup_explained import Case
from academy.service.views import Picture, Table
from academy.service.wings_explained import wings_picture

Shown = Picture | Table
_LEAST = marked("Least cost")
_AT_BEST = marked("Cost of the field, the other settings at their best.")


@dataclass(frozen=True)
class Own:
    """One picture of a lesson for the reader's crop and header."""

    asked: LessonPicture
    choice: Choice
    reader: Reader
    ids: str

    @cached_property
    def facts(self) -> dict[str, Any]:
        """The ordinary field and header, but for what the picture says."""
        return plain_facts(self.choice) | _plain(self.asked.facts)

    @cached_property
    def problem(self) -> Problem:
        """The set-up; by the whole header where a part is out of order."""
        stated = any(fact.startswith(whole.PREFIX) for fact in self.facts)
        return (whole_problem_of if stated else problem_of)(self.facts, CURVES)

    @cached_property
    def best(self) -> Settings:
        """The settings that cost least with every part in order."""
        kept = {k: v for k, v in self.facts.items() if not k.startswith(whole.PREFIX)}
        return engine_curves.least_cost(problem_of(kept, CURVES))

    @cached_property
    def here(self) -> Settings:
        """The settings that the picture shows."""
        return _changed(self.best, self.asked.times)

    @cached_property
    def case(self) -> Case:
        """The same as an answered set-up."""
        found = self.problem.as_found
        return Case(self.facts, self.problem, self.here, self.best, found, self.reader)


def _plain(facts: lesson_pictures.Facts) -> dict[str, Any]:
    return {k: v if isinstance(v, str) else list(v) for k, v in facts.items()}


def _changed(settings: Settings, times: Mapping[str, float]) -> Settings:
    return replace(
        settings, **{name: getattr(settings, name) * by for name, by in times.items()}
    )


def _reading(own: Own, one: Compared) -> Readings:
    facts, values = own.facts | _plain(one.facts), own.problem.values
    times = dict(one.times)
    if "moisture" in times:
        met = float(own.problem.field.moisture) * times.pop("moisture")
        facts["moisture"] = [met, "1"]
    return whole.whole_run(facts, _changed(own.here, times), values).readings


def _losses(own: Own) -> Shown:
    language = own.reader.language
    reads = {
        c.label.for_language(language): _reading(own, c) for c in own.asked.compared
    }
    return setup_explained.losses_picture(reads, own.case.say, own.ids)


def _side(own: Own) -> Shown:
    return setup_explained.side_picture(own.case, own.ids)


def _cost(own: Own) -> Shown:
    return setup_explained.curve_picture(
        own.case, own.asked.control, own.ids, _LEAST, _AT_BEST
    )


def _stack(own: Own) -> Shown:
    control = own.asked.control
    return engine_curves.stack_picture(
        own.problem, own.here, control, own.facts, own.reader, own.ids
    )


def _pace(own: Own) -> Shown:
    season = pace_explained.season_of(own.choice.crop) if own.asked.late else None
    return pace_explained.pace_picture(
        own.problem, own.here, own.reader, season, own.ids, yours=False
    )


def _money(own: Own) -> Shown:
    return pace_explained.money_by(own.case.readings(own.here), own.reader)


def _knife(own: Own) -> Shown:
    pace = Pace(own.here, whole.state_of(own.facts).knife)
    return knife_kind_picture(own.facts, pace, own.asked.knife, own.reader, own.ids)


def _mat(own: Own) -> Shown:
    state = whole.state_of(own.facts)
    met = Flowing(own.here, state.flow, state.stand)
    return flow_picture(own.facts, met, own.reader, own.ids)


def _wings(own: Own) -> Shown:
    state = whole.state_of(own.facts).wings
    return wings_picture(own.facts, own.here, state, own.reader, own.ids)


def _reel_sections(own: Own) -> Shown:
    state = whole.state_of(own.facts).reel_sections
    return reel_sections_picture(own.facts, own.here, state, own.reader, own.ids)


def _ground(own: Own) -> Shown:
    met = Ground(own.here, Hanging(freedom=own.asked.freedom))
    return ground_picture(own.facts, met, own.reader, own.ids)


def _day(own: Own) -> Shown:
    asked = HourAsked(crop=own.choice.crop, day=own.asked.day)
    return day_picture(asked, own.reader, own.ids)


def _stubble(own: Own) -> Shown:
    fault = own.asked.fault
    return fault_picture(own.facts, own.here, fault, own.reader, own.ids)


def _ends(own: Own) -> Shown:
    stand = whole.state_of(own.facts).stand
    return ends_explained.ends_table(own.facts, stand, own.reader)


_DRAWN: Mapping[str, Callable[[Own], Shown]] = MappingProxyType(
    {
        "side": _side,
        "losses": _losses,
        "cost": _cost,
        "stack": _stack,
        "pace": _pace,
        "money": _money,
        "knife": _knife,
        "mat": _mat,
        "wings": _wings,
        "reel-sections": _reel_sections,
        "ground": _ground,
        "day": _day,
        "stubble": _stubble,
        "ends": _ends,
    }
)


def caption(key: str, reader: Reader) -> str:
    """What a lesson says of a picture."""
    return lesson_pictures.load()[key].caption.for_language(reader.language)


def drawn(key: str, choice: Choice, reader: Reader, ids: str) -> Shown:
    """The picture of a key, or the table, for a crop and a header.

    Raises OutOfRange or NotFound where the content asks for what no header has.
    """
    own = Own(lesson_pictures.load()[key], choice, reader, ids)
    return _DRAWN[own.asked.drawn](own)
