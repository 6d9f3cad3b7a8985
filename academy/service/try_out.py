"""The try-out bench: a header set on today's conditions, and what comes of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from academy import units
from academy.engine.pace import Season
from academy.engine.whole_state import WholeReadings
from academy.errors import OutOfRange
from academy.language import Reader, marked, show
from academy.scenarios import whole
from academy.service import pace_explained, setup_explained
from academy.service.bench_choice import CURVES, WAITING, Choice, facts_of
from academy.service.bench_told import limits_told, parts_table, signs_told
from academy.service.engine_how import engine_how
from academy.service.flow_explained import Flowing, flow_picture
from academy.service.ground_explained import Ground, ground_picture
from academy.service.hour_explained import HourAsked, day_picture, unfit_told
from academy.service.knife_kinds_explained import Pace, knife_kind_picture
from academy.service.pace_explained import Late
from academy.service.problems import whole_problem_of
from academy.service.reel_sections_explained import reel_sections_picture
from academy.service.setup_explained import Case
from academy.service.views import HowRow, Picture, Table
from academy.service.wings_explained import wings_picture

_READINGS = (
    ("reel_index", "ratio", marked("Reel index")),
    ("entry_speed", "bat_speed", marked("Speed at which a tine enters the crop")),
    ("finger_gap", "short_length", marked("Tine tips over the raised bar")),
    ("advance_per_stroke", "small_length", marked("Advance per knife stroke")),
    ("true_cut_height", "short_length", marked("Length of the stubble, on average")),
    ("mat_depth", "short_length", marked("Mat with all crop of its half laid on")),
    ("engine_load", "share", marked("Engine load")),
    ("area_rate", "area_rate", marked("Field capacity")),
    ("header_loss", "share", marked("Gathering loss")),
    ("total_loss", "share", marked("All losses")),
    ("cost", "money_per_area", marked("Cost")),
)


@dataclass(frozen=True, slots=True)
class TriedOut:
    """What the engine says of the bench."""

    limits: tuple[str, ...]
    signs: tuple[str, ...]
    readings: Table
    parts: Table
    money: Table
    pictures: tuple[Picture, ...]
    curves: tuple[Picture, ...]
    how: tuple[HowRow, ...]


def _season(crop: str, daily_loss: float) -> Season | None:
    if daily_loss <= 0.0:
        return None
    return pace_explained.season_of(crop, Late(daily_loss=daily_loss))


def _pace(case: Case, daily_loss: float) -> Picture:
    """Cost against ground speed, plain where no speed is safe."""
    try:
        drawn = pace_explained.pace_picture(
            case.problem,
            case.yours,
            case.reader,
            _season(case.facts["crop"], daily_loss),
            "bench-pace",
        )
    except OutOfRange:
        drawn = setup_explained.curve_picture(case, "ground_speed", "bench")
    return drawn


def _pictures(case: Case, choice: Choice, done: WholeReadings) -> Iterator[Picture]:
    facts, here, reader = case.facts, case.yours, case.reader
    state = whole.state_of(facts)
    yield setup_explained.losses_picture({"Yours": done.readings}, case.say, "bench")
    yield setup_explained.side_picture(case, "bench")
    if whole.followed(done):
        hung = whole.hanging(done, state)
        yield ground_picture(facts, Ground(here, hung, yours=True), reader, "bench")
    if whole.wings_out(done):
        yield wings_picture(facts, here, state.wings, reader, "bench-wings", yours=True)
    if float(done.reel_sections.step) > 0.0:
        yield reel_sections_picture(
            facts, here, state.reel_sections, reader, "bench-reel", yours=True
        )
    pace = Pace(here, state.knife, yours=True)
    yield knife_kind_picture(facts, pace, state.knife.kind, reader, "bench-knife")
    flowing = Flowing(here, state.flow, state.stand, yours=True)
    yield flow_picture(facts, flowing, reader, "bench-flow")
    yield day_picture(_hours(case, choice), reader, "bench-hour")


def _hours(case: Case, choice: Choice) -> HourAsked:
    """The day of the choice, as the usual sample of the crop would have it."""
    field = case.problem.field
    return HourAsked(
        crop=choice.crop,
        day=choice.day,
        lodging=float(field.lodging),
        green_stems=float(whole.state_of(case.facts).stand.green_stems),
        at=units.to_si(float(choice.hour), "h"),
    )


def tried(choice: Choice, typed: Mapping[str, float | str], reader: Reader) -> TriedOut:
    """What the header does as it is set and found; figures of ``typed`` are SI."""
    facts = facts_of(choice, typed)
    problem = whole_problem_of(facts, CURVES)
    here = problem.as_found
    case = Case(facts, problem, here, here, here, reader)
    done = whole.whole_run(facts, here, problem.values)
    read = done.readings
    rows = tuple(
        (case.say(words), show(float(getattr(read, name)), kind, reader))
        for name, kind, words in _READINGS
    )
    head = (case.say(marked("Reading")), case.say(marked("Value")))
    return TriedOut(
        limits=limits_told(done, reader),
        signs=(
            *unfit_told(choice.crop, problem.field.moisture, done.toughness, reader),
            *signs_told(done, reader),
        ),
        readings=Table(case.say(marked("What the header does")), head, rows),
        parts=parts_table(done, choice.carried, reader),
        money=pace_explained.money_by(read, reader),
        pictures=tuple(_pictures(case, choice, done)),
        curves=(
            _pace(case, float(typed.get(WAITING, 0.0))),
            *(
                setup_explained.curve_picture(case, name, "bench")
                for name in CURVES[1:]
            ),
        ),
        how=engine_how(choice.crop, reader),
    )
