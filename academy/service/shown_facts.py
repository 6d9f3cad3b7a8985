"""The facts of a scenario in a reader's words and units."""

from academy import units
from academy.catalog import changes, crops, grounds, headers
from academy.catalog.evidence import Evidenced
from academy.catalog.families import Family
from academy.language import Reader, gettext, marked, show
from academy.scenarios import conditions, counted, draw, faulty
from academy.scenarios.facts import Facts, bushel
from academy.scenarios.number import COMPUTABLES
from academy.service.views import FactRow

KIND_OF = {
    "crop_yield": "crop_yield",
    "crop_height": "height",
    "lowest_grain": "height",
    "moisture": "moisture",
    "lodging": "share",
    "mog_ratio": "ratio",
    "slope": "slope",
    "grain_price": "price",
    "daily_loss": "daily_share",
    "ground_speed": "ground_speed",
    "reel_rate": "reel_speed",
    "reel_height": "height",
    "reel_lead": "height",
    "cut_height": "height",
    "belt_speed": "belt_speed",
    "float_force": "force_per_width",
    "tine_pitch": "angle",
    "reel_index": "ratio",
    "reel_diameter": "short_length",
    "count": "count",
    "frame_area": "area",
    "field_efficiency": "share",
    "field_area": "field_area",
    "harvested": "crop_yield",
    "before_count": "count",
    "header_count": "count",
    "behind_count": "count",
    "discharge_width": "length",
    "reaction_time": "reaction",
    "rise": "short_length",
    "level_run": "length",
    "line_height": "length",
    "load_height": "length",
    "market_moisture": "moisture",
    "market_yield": "crop_yield",
}
_PRINTED = {  # measures a number question must print, by computable
    "loss_from_count": ("kernels",),
    "money_of_loss": ("kernels",),
    "field_capacity": ("width",),
    "work_time": ("width",),
    "counted_header_loss": ("width", "kernels"),
    "counted_processing_loss": ("width", "kernels"),
    "counted_share": ("width", "kernels"),
    "counted_money": ("width", "kernels"),
}
_COUNTED = {
    counted.BEFORE: marked("Kernels in the frame on ground not yet cut"),
    counted.HEADER: marked("Kernels where only the header passed"),
    counted.BEHIND: marked("Kernels behind the combine"),
    counted.AREA: marked("Area of the frame"),
    counted.DISCHARGE: marked("Width of the discharge"),
    counted.HARVESTED: marked("Yield in the tank"),
}
IN_A_SUM = 0.004  # share of a fact that rounding may take where a sum needs it
SUMMED = frozenset(name for one in COMPUTABLES.values() for name in one.needs)
_PLAIN = {"order", "go-or-stop"}  # kinds that need no field and no machine
_SET_UP_PRINTED = ("width", "reel_diameter")
_HEADER, _CROP, _GROUND = marked("Header"), marked("Crop"), marked("Ground")
CARRIED = {
    "ground": marked("on the ground"),
    "wheels": marked("off the ground, on gauge wheels"),
    "sensing": marked("off the ground, without gauge wheels"),
}
_SENSES = marked("Its own height control")
_SENSED = {
    True: marked("works off the ground too, without gauge wheels"),
    False: marked("off the ground it works on gauge wheels only"),
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
        value = show(per_area, "count_density", reader, within=IN_A_SUM)
        return FactRow(gettext(_KERNELS, reader.language), value)
    mass = float(units.to_si(1.0, "bu/ac", bushel(facts))) / per_area
    value = show(mass, "kernel_mass", reader, within=IN_A_SUM)
    return FactRow(gettext(_KERNEL, reader.language), value)


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
    shown = show(width.si()[1], "length", reader, within=IN_A_SUM)
    return FactRow(capital(width.called(language)), shown)


def _sensing(family: Family, facts: Facts, reader: Reader) -> list[FactRow]:
    """Whether the header senses its height off the ground, wherever it matters."""
    keys = [key for part in family.parts for key in part.changes]
    if "sensing" not in family.carried and not any(
        changes.load()[key].carried for key in keys
    ):
        return []
    parts = headers.load(facts["header"]).parts
    words = _SENSED[parts.senses_off_ground_without_wheels]
    said = [gettext(text, reader.language) for text in (_SENSES, words)]
    return [FactRow(*said)]


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
        words = gettext(CARRIED[facts["carried"]], language)
        rows.append(FactRow(gettext(marked("Carried"), language), words))
    return rows


def shown_fact(facts: Facts, name: str, reader: Reader, within: float = 1.0) -> str:
    """A drawn fact with its unit, as the reader is shown it.

    ``within``: the greatest share that rounding may take away.
    """
    value, label = facts[name]
    plain = name.partition(".")[2] or name
    in_si = float(units.to_si(float(value), label, bushel(facts)))
    return show(in_si, KIND_OF[plain], reader, bushel(facts), within)


def _summed(family: Family) -> frozenset[str]:
    """Facts that a number question takes."""
    asked = {part.computable for part in family.parts if part.computable}
    needs = (COMPUTABLES[name].needs for name in asked)
    return frozenset(_COUNTED if family.counted else ()).union(*needs)


def _name(facts: Facts, family: Family, name: str, reader: Reader) -> str:
    if name in _COUNTED:
        return gettext(_COUNTED[name], reader.language)
    named: str = draw.fact_name(facts, family, name).for_language(reader.language)
    return capital(named)


def _usual(facts: Facts, family: Family, reader: Reader) -> list[FactRow]:
    """Settings that a change would turn and that stand where they usually do."""
    keys = [key for part in family.parts for key in part.changes]
    turned = dict.fromkeys(changes.load()[key].setting for key in keys)
    found, rows = conditions.as_found(facts), []
    for name in turned:
        if name and f"as_found.{name}" not in facts:
            words = conditions.range_of(facts, name).name
            value = show(float(getattr(found, name)), KIND_OF[name], reader)
            rows.append(FactRow(capital(words.for_language(reader.language)), value))
    return rows


def _printed(family: Family) -> list[str]:
    """Measures of the machine that the question must print."""
    if any(part.controls or part.changes for part in family.parts):
        return [*_SET_UP_PRINTED]
    return [name for part in family.parts for name in _PRINTED.get(part.computable, ())]


def _lied(family: Family) -> frozenset[str]:
    """Facts that a fault may have changed: they would tell what is asked."""
    keys = {key for part in family.parts for key in part.faults}
    return frozenset().union(*(faulty.touched(key) for key in keys))


def fact_rows(family: Family, facts: Facts, reader: Reader) -> tuple[FactRow, ...]:
    """Every fact the question states; settings to choose are shown with their part."""
    asked = {f"as_found.{name}" for part in family.parts for name in part.controls}
    plain = all(part.kind in _PLAIN for part in family.parts)
    rows = [] if plain else [*_named(facts, reader), *_sensing(family, facts, reader)]
    printed = _printed(family)
    if family.counted:
        printed += ["width", "kernels"]
    rows += [_measure(name, facts, reader) for name in dict.fromkeys(printed)]
    stated = [name for name in draw.grids(family) if name not in asked]
    if family.counted:
        unknown = {"crop_yield", *_COUNTED}  # the standing yield: nobody weighed it
        stated = [name for name in stated if name not in unknown] + [*_COUNTED]
    lied, summed = _lied(family), _summed(family)
    for name in [name for name in stated if name in facts and name not in lied]:
        within = IN_A_SUM if name in summed else 1.0
        value = shown_fact(facts, name, reader, within)
        rows.append(FactRow(_name(facts, family, name, reader), value))
    return tuple(rows + _usual(facts, family, reader))
