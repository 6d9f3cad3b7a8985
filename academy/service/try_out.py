"""The try-out bench: a header set on today's conditions, and what comes of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from academy import units
from academy.catalog import combines, crops, grounds, headers
from academy.catalog.evidence import Evidenced
from academy.catalog.headers import ControlRange
from academy.engine.conditions import Carried
from academy.errors import NotUnderstood
from academy.language import Language, Reader, gettext, marked, show
from academy.scenarios import conditions
from academy.scenarios.facts import Facts, bushel
from academy.service import setup_explained
from academy.service.engine_how import engine_how
from academy.service.ground_explained import Ground, ground_picture
from academy.service.limit_words import LIMITS
from academy.service.problems import problem_of
from academy.service.setup_explained import Case
from academy.service.shown_facts import CARRIED, KIND_OF, capital
from academy.service.views import HowRow, Picture, Table

CONTROLS = ("ground_speed", "reel_rate", "reel_height", "reel_lead", "cut_height")
CONDITIONS = (
    "crop_yield",
    "crop_height",
    "lowest_grain",
    "moisture",
    "lodging",
    "mog_ratio",
    "slope",
)
_READINGS = (
    ("reel_index", "ratio", marked("Reel index")),
    ("entry_speed", "bat_speed", marked("Speed at which a tine enters the crop")),
    ("finger_gap", "short_length", marked("Tine tips over the raised bar")),
    ("advance_per_stroke", "small_length", marked("Advance per knife stroke")),
    ("bunched", "share", marked("Stems bent forward in bunches")),
    ("true_cut_height", "short_length", marked("Cut height as it comes out")),
    ("mat_depth", "short_length", marked("Mat on the side belt")),
    ("engine_load", "share", marked("Engine load")),
    ("area_rate", "area_rate", marked("Field capacity")),
    ("header_loss", "share", marked("Gathering loss")),
    ("total_loss", "share", marked("All losses")),
    ("cost", "money_per_area", marked("Cost")),
)


@dataclass(frozen=True, slots=True)
class Choice:
    """What is set on the bench: crop, header, ground, what carries the header."""

    crop: str
    header: str
    ground: str
    carried: Carried


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure to type: name, kind, bounds and start in SI."""

    name: str
    label: str
    kind: str
    low: float
    high: float
    start: float


@dataclass(frozen=True, slots=True)
class TriedOut:
    """What the engine says of the bench."""

    limits: tuple[str, ...]
    readings: Table
    pictures: tuple[Picture, ...]
    curves: tuple[Picture, ...]
    how: tuple[HowRow, ...]


def choices(language: Language) -> dict[str, list[tuple[str, str]]]:
    """What can be chosen, by field: keys and words."""
    return {
        "crop": [(k, crops.load(k).name.for_language(language)) for k in crops.known()],
        "header": [
            (k, headers.load(k).name.for_language(language)) for k in headers.known()
        ],
        "ground": [
            (k, one.name.for_language(language)) for k, one in grounds.load().items()
        ],
        "carried": [(k, gettext(words, language)) for k, words in CARRIED.items()],
    }


def _width(key: str) -> float:
    return headers.load(key).measures.width.si()[1]


def usual(choice: Mapping[str, str]) -> Choice:
    """The choice as far as it was made, the rest usual for the crop.

    What carries the header was chosen for the crop that ``was`` laid out. Raises
    NotUnderstood for what is not there.
    """
    offered = {name: [key for key, _ in each] for name, each in choices("en").items()}
    crop = choice.get("crop") or offered["crop"][0]
    heads = crop in crops.known() and crops.load(crop).off_ground
    kept = choice.get("carried") if choice.get("was", crop) == crop else None
    made = {
        "crop": crop,
        "header": choice.get("header") or max(headers.known(), key=_width),
        "ground": choice.get("ground") or "ordinary",
        "carried": kept or ("wheels" if heads else "ground"),
    }
    for name, value in made.items():
        if value not in offered[name]:
            raise NotUnderstood("not_a_choice", name=name, value=value)
    return Choice(**made)  # type: ignore[arg-type]


def plain_facts(choice: Choice) -> dict[str, Any]:
    """The choice as facts; all the rest is ordinary."""
    return {
        "crop": choice.crop,
        "header": choice.header,
        "ground": choice.ground,
        "carried": choice.carried,
        "combine": combines.known()[0],
    }


def figures(choice: Choice, language: Language) -> tuple[Figure, ...]:
    """What can be typed for this choice: conditions first, then the controls."""
    crop, facts = crops.load(choice.crop), plain_facts(choice)
    asked = [
        _condition(name, getattr(crop.conditions, name), crop.bushel, language)
        for name in CONDITIONS
    ]
    price = crop.grain.price
    asked.append(_condition("grain_price", price, crop.bushel, language))
    asked += [
        _control(name, conditions.range_of(facts, name), language) for name in CONTROLS
    ]
    return tuple(asked)


def _condition(name: str, entry: Evidenced, mass: float, language: str) -> Figure:
    low, value, high = entry.si(mass)
    label = capital(entry.called(language, name))
    return Figure(name, label, KIND_OF[name], low, high, value)


def _control(name: str, reach: ControlRange, language: str) -> Figure:
    low, high, _ = reach.si()
    start = float(units.to_si(reach.usual, reach.unit))
    label = capital(reach.name.for_language(language))
    return Figure(name, label, KIND_OF[name], low, high, start)


def _facts(choice: Choice, typed: Mapping[str, float]) -> Facts:
    facts = plain_facts(choice)
    for name, value in typed.items():
        label = units.KINDS[KIND_OF[name]].metric
        shown = float(units.from_si(value, label, bushel(facts)))
        place = f"as_found.{name}" if name in CONTROLS else name
        facts[place] = [shown, label]
    return facts


def tried(choice: Choice, typed: Mapping[str, float], reader: Reader) -> TriedOut:
    """What the header does as it is set; ``typed`` holds every figure in SI."""
    facts = _facts(choice, typed)
    problem = problem_of(facts, CONTROLS)
    here = problem.as_found
    case = Case(facts, problem, here, here, here, reader)
    read = case.readings(here)
    broken = [name for name, flag in read.violations.items() if bool(flag)]
    rows = tuple(
        (case.say(words), show(float(getattr(read, name)), kind, reader))
        for name, kind, words in _READINGS
    )
    head = (case.say(marked("Reading")), case.say(marked("Value")))
    return TriedOut(
        limits=tuple(case.say(LIMITS[name]) for name in broken),
        readings=Table(case.say(marked("What the header does")), head, rows),
        pictures=(
            setup_explained.losses_picture({"Yours": read}, case.say, "bench"),
            setup_explained.side_picture(case, "bench"),
            ground_picture(facts, Ground(here, yours=True), reader, "bench"),
        ),
        curves=tuple(
            setup_explained.curve_picture(case, name, "bench") for name in CONTROLS
        ),
        how=engine_how(choice.crop, reader),
    )
