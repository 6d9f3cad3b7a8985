"""A stored scenario turned into what a person reads: facts and parts in their words."""

from collections.abc import Mapping
from typing import Any

from academy import units
from academy.catalog import crops, directions, grounds, headers, procedures, topics
from academy.catalog.evidence import Evidenced
from academy.catalog.families import Asked, Family
from academy.language import Reader, gettext, marked, show, unit_word
from academy.scenarios import conditions, draw
from academy.scenarios.facts import Facts, bushel
from academy.service.views import ControlView, FactRow, PartView

KIND_OF = {
    "crop_yield": "crop_yield",
    "crop_height": "short_length",
    "lowest_grain": "short_length",
    "moisture": "moisture",
    "lodging": "share",
    "slope": "slope",
    "grain_price": "price",
    "ground_speed": "ground_speed",
    "reel_rate": "reel_speed",
    "reel_height": "short_length",
    "reel_lead": "short_length",
    "cut_height": "short_length",
    "reel_index": "ratio",
    "reel_diameter": "short_length",
    "count": "count",
    "frame_area": "area",
    "field_efficiency": "share",
    "field_area": "field_area",
}
_PRINTED = {  # measures a number question must print, by computable
    "loss_from_count": ("kernels",),
    "money_of_loss": ("kernels",),
    "field_capacity": ("width",),
    "work_time": ("width",),
}
_SET_UP_PRINTED = ("width", "reel_diameter")
_HEADER, _CROP, _GROUND = marked("Header"), marked("Crop"), marked("Ground")
_CARRIED = {
    "ground": marked("on the ground"),
    "wheels": marked("off the ground, on gauge wheels"),
    "sensing": marked("off the ground, without gauge wheels"),
}
_DIAMETER = marked("Reel diameter over the tine tips")
_KERNEL = marked("Weight of one kernel")
_KERNELS = marked("Kernels on the ground that make one bushel per acre")


def capital(text: str) -> str:
    """The text with a capital first letter, the rest as it stands."""
    return text[:1].upper() + text[1:]


def _kernel_rule(facts: Facts, reader: Reader) -> FactRow:
    """The count rule as the reader counts: kernels per bushel, or a kernel's weight."""
    rule: Evidenced = crops.load(facts["crop"]).grain.kernels_per_bushel_area
    per_area = rule.si()[1]
    if reader.units == "us":
        value = show(per_area, "count_density", reader)
        return FactRow(gettext(_KERNELS, reader.language), value)
    mass = float(units.to_si(1.0, "bu/ac", bushel(facts))) / per_area
    return FactRow(gettext(_KERNEL, reader.language), show(mass, "kernel_mass", reader))


def _measure(name: str, facts: Facts, reader: Reader) -> FactRow:
    measures = headers.load(facts["header"]).measures
    language = reader.language
    if name == "kernels":
        return _kernel_rule(facts, reader)
    if name == "reel_diameter":
        diameter = 2.0 * measures.reel_tip_radius.si()[1]
        return FactRow(
            gettext(_DIAMETER, language), show(diameter, "short_length", reader)
        )
    width = measures.width
    return FactRow(
        capital(width.called(language)), show(width.si()[1], "length", reader)
    )


def _named(facts: Facts, reader: Reader) -> list[FactRow]:
    language = reader.language
    rows = [
        FactRow(
            gettext(_HEADER, language),
            headers.load(facts["header"]).name.for_language(language),
        ),
        FactRow(
            gettext(_CROP, language),
            crops.load(facts["crop"]).name.for_language(language),
        ),
    ]
    if "ground" in facts:
        ground = grounds.load()[facts["ground"]].name.for_language(language)
        rows.append(FactRow(gettext(_GROUND, language), ground))
    if "carried" in facts:
        words = gettext(_CARRIED[facts["carried"]], language)
        rows.append(FactRow(gettext(marked("Carried"), language), words))
    return rows


def shown_fact(facts: Facts, name: str, reader: Reader) -> str:
    """A drawn fact with its unit, as the reader is shown it."""
    value, label = facts[name]
    plain = name.partition(".")[2] or name
    in_si = float(units.to_si(float(value), label, bushel(facts)))
    return show(in_si, KIND_OF[plain], reader, bushel(facts))


def fact_rows(family: Family, facts: Facts, reader: Reader) -> tuple[FactRow, ...]:
    """Every fact the question states; settings to choose are shown with their part."""
    asked = {name for part in family.parts for name in part.controls}
    rows = [] if family.parts[0].kind == "order" else _named(facts, reader)
    printed = [
        name for part in family.parts for name in _PRINTED.get(part.computable, ())
    ]
    if asked:
        printed = [*_SET_UP_PRINTED]
    rows += [_measure(name, facts, reader) for name in dict.fromkeys(printed)]
    for name in draw.grids(family):
        if name.startswith("as_found.") and name.removeprefix("as_found.") in asked:
            continue
        label = draw.fact_name(facts, family, name).for_language(reader.language)
        rows.append(FactRow(capital(label), shown_fact(facts, name, reader)))
    return tuple(rows)


def _typed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def control_view(facts: Facts, name: str, reader: Reader) -> ControlView:
    """One control in the reader's unit; numbers as plain text, ready to type."""
    control = conditions.range_of(facts, name)
    label, decimals = units.KINDS[KIND_OF[name]].shown(reader.units)
    low, high, step = control.si()
    if label == control.unit:
        decimals = max(decimals, len(f"{control.step:g}".partition(".")[2]))
    if f"as_found.{name}" in facts:
        value, unit = facts[f"as_found.{name}"]
        found = float(units.to_si(float(value), unit))
    else:
        found = float(units.to_si(control.usual, control.unit))
    numbers = [
        _typed(float(units.from_si(x, label)), decimals) for x in (low, high, found)
    ]
    one = float(units.from_si(step, label)) - float(units.from_si(0.0, label))
    return ControlView(
        name=name,
        label=capital(control.name.for_language(reader.language)),
        unit=label,
        unit_word=unit_word(label, reader.language),
        low=numbers[0],
        high=numbers[1],
        step=_typed(one, decimals + 1),
        as_found=numbers[2],
    )


def number_units(kind: str, reader: Reader) -> tuple[tuple[str, str], ...]:
    """Unit labels and words of a number; the reader's own first."""
    shown = units.KINDS[kind]
    own, other = (shown.us, shown.metric)
    if reader.units == "metric":
        own, other = other, own
    labels = dict.fromkeys((own, other))
    return tuple((label, unit_word(label, reader.language)) for label in labels)


def _options(part: Mapping[str, Any], reader: Reader) -> tuple[tuple[str, str], ...]:
    setting = directions.load(part["setting"])
    return tuple(
        (way, getattr(setting, way).for_language(reader.language))
        for way in directions.WAYS
    )


def _steps(part: Mapping[str, Any], reader: Reader) -> tuple[tuple[str, str], ...]:
    texts = {
        step.key: step.text for step in procedures.known()[part["procedure"]].steps
    }
    return tuple(
        (key, texts[key].for_language(reader.language)) for key in part["shown"]
    )


def part_view(
    index: int, asked: Asked, part: Mapping[str, Any], facts: Facts, reader: Reader
) -> PartView:
    """One part as it is asked."""
    language = reader.language
    shown: dict[str, Any] = {}
    if part["kind"] == "set-up":
        names = part["controls"]
        shown["controls"] = tuple(control_view(facts, name, reader) for name in names)
    elif part["kind"] == "direction":
        shown["options"] = _options(part, reader)
        sign = directions.load(part["setting"]).sign(part["sign"])
        shown["sign"] = sign.text.for_language(language)
    elif part["kind"] == "number":
        shown["units"] = number_units(part["kind_of"], reader)
    else:
        shown["steps"] = _steps(part, reader)
    return PartView(
        index=index,
        kind=part["kind"],
        topic_name=topics.load()[part["topic"]].name.for_language(language),
        prompt=asked.prompt.for_language(language),
        **shown,
    )
