"""What stands on the try-out bench: choices, figures, the state of parts, as facts."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from academy import units
from academy.catalog import combines, crops, days, grounds, headers, parts
from academy.catalog.evidence import Evidenced
from academy.catalog.headers import ControlRange
from academy.engine.conditions import Carried
from academy.errors import NotUnderstood
from academy.language import Language, gettext, marked
from academy.scenarios import conditions, whole
from academy.scenarios.facts import Facts, bushel, si
from academy.service import bench_state
from academy.service.bench_state import Figure, Kinds
from academy.service.shown_facts import CARRIED, KIND_OF, capital

CONTROLS = ("ground_speed", "reel_rate", "reel_height", "reel_lead", "cut_height")
# The last two move no loss: only their direction is known, so they have no cost curve.
SET = (*CONTROLS, "belt_speed", "float_force", "tine_pitch")
CURVES = (*CONTROLS, "belt_speed")
CONDITIONS = (
    "crop_yield",
    "crop_height",
    "lowest_grain",
    "moisture",
    "lodging",
    "mog_ratio",
    "slope",
)
_FIRST, _LAST = 5, 23  # hours to choose from
WAITING = "daily_loss"
_WAITING_LABEL = marked("Share of the crop's worth lost by a day of waiting")
_DEAREST_DAY = 0.1  # the most that may be typed


@dataclass(frozen=True, slots=True)
class Choice:
    """What is set on the bench: crop, header, ground, what carries the header."""

    crop: str
    header: str
    ground: str
    carried: Carried
    day: str
    hour: str  # of the clock, or the one at which a field is usually sampled


@dataclass(frozen=True, slots=True)
class PartAsked:
    """One part of the header: what can be typed and chosen of its state."""

    key: str
    title: str
    figures: tuple[Figure, ...]
    kinds: tuple[Kinds, ...]

    def starts(self) -> dict[str, float | str]:
        """Where each figure and kind starts, by the name of its field."""
        figures = {one.name: one.start for one in self.figures}
        return figures | {one.name: one.start for one in self.kinds}


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
        "day": [(k, day.name.for_language(language)) for k, day in days.load().items()],
        "hour": [(str(hour), f"{hour}:00") for hour in range(_FIRST, _LAST + 1)],
    }


def _usual_hour() -> str:
    """The hour at which a field's moisture is usually sampled."""
    return f"{units.from_si(parts.load('hour').in_order.hour, 'h'):.0f}"


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
        "day": choice.get("day") or days.USUAL,
        "hour": choice.get("hour") or _usual_hour(),
    }
    for name, value in made.items():
        if value not in offered[name]:
            raise NotUnderstood("not_a_choice", name=name, value=value)
    return Choice(**made)  # type: ignore[arg-type]


def plain_facts(choice: Choice) -> dict[str, Any]:
    """The choice as facts; all the rest is ordinary for that hour of that day."""
    facts: dict[str, Any] = {
        "crop": choice.crop,
        "header": choice.header,
        "ground": choice.ground,
        "carried": choice.carried,
        "combine": combines.known()[0],
    }
    if (choice.day, choice.hour) != (days.USUAL, _usual_hour()):
        time = units.to_si(float(choice.hour), "h")
        met = whole.at_hour(facts, choice.day, time)
        facts["moisture"] = [100.0 * float(met.moisture), "%"]
        stems = bench_state.fact_of(bench_state.field_name("stand", "stem_moisture"))
        facts[stems] = [100.0 * float(met.stem_moisture), "%"]
    return facts


def figures(choice: Choice, language: Language) -> tuple[Figure, ...]:
    """What can be typed for this choice: conditions first, then the controls."""
    crop, facts = crops.load(choice.crop), plain_facts(choice)
    asked = [
        _condition(name, getattr(crop.conditions, name), crop.bushel, language)
        for name in CONDITIONS
    ]
    asked = [_met(figure, facts) for figure in asked]
    price = crop.grain.price
    asked.append(_condition("grain_price", price, crop.bushel, language))
    asked.append(_waiting(choice.crop, language))
    asked += [
        _control(name, conditions.range_of(facts, name), language) for name in SET
    ]
    return tuple(asked)


def parts_of(choice: Choice, language: Language) -> tuple[PartAsked, ...]:
    """What can be typed and chosen of the state of each part."""
    facts = plain_facts(choice)
    return tuple(
        PartAsked(
            key=part,
            title=gettext(bench_state.TITLES[part], language),
            figures=tuple(bench_state.figures(facts, part, language)),
            kinds=tuple(bench_state.kinds(facts, part, language)),
        )
        for part in bench_state.PARTS
    )


def _waiting(crop: str, language: Language) -> Figure:
    """What a day of waiting costs: as published for the crop, or the farm's own.

    0 counts no lateness, which is the start where nothing was published.
    """
    published = crops.load(crop).delay
    start = published.timeliness.si()[1] if published else 0.0
    label = gettext(_WAITING_LABEL, language)
    most = float(units.to_si(_DEAREST_DAY, "1/day"))
    return Figure(WAITING, label, KIND_OF[WAITING], 0.0, most, start)


def _met(figure: Figure, facts: Facts) -> Figure:
    """The figure as the facts have it, its ends no nearer than that."""
    if figure.name not in facts:
        return figure
    start = si(facts, figure.name)
    low, high = min(figure.low, start), max(figure.high, start)
    return replace(figure, start=start, low=low, high=high)


def _condition(name: str, entry: Evidenced, mass: float, language: str) -> Figure:
    low, value, high = entry.si(mass)
    label = capital(entry.called(language, name))
    return Figure(name, label, KIND_OF[name], low, high, value)


def _control(name: str, reach: ControlRange, language: str) -> Figure:
    low, high, _ = reach.si()
    start = float(units.to_si(reach.usual, reach.unit))
    label = capital(reach.name.for_language(language))
    return Figure(name, label, KIND_OF[name], low, high, start)


def facts_of(choice: Choice, typed: Mapping[str, float | str]) -> Facts:
    """The bench as facts; figures come in SI and are told in metric units."""
    facts = plain_facts(choice)
    kinds = {f.name: f.kind for p in parts_of(choice, "en") for f in p.figures}
    for name, value in typed.items():
        if name == WAITING:
            continue  # no fact of the field: money of the farm
        if isinstance(value, str):
            facts[bench_state.fact_of(name)] = bench_state.chosen(name, value)
        elif name in kinds:
            facts[bench_state.fact_of(name)] = _told(value, kinds[name], facts)
        else:
            place = f"as_found.{name}" if name in SET else name
            facts[place] = _told(value, KIND_OF[name], facts)
    return facts


def _told(value: float, kind: str, facts: Facts) -> list[Any]:
    label = units.KINDS[kind].metric
    return [float(units.from_si(value, label, bushel(facts))), label]
