"""A sum worked from the facts as they are shown comes out right in either system.

The sums are written out here as the lessons and the field's extension papers teach
them, from the printed text alone: what rounding for the reader takes away must be far
less than what full marks allow.
"""

from collections.abc import Callable, Mapping, Sequence
from math import atan

import pytest

from academy import units
from academy.catalog.families import Family, known
from academy.grading.numeric import full_tolerance
from academy.language import Reader
from academy.scenarios.draw import draw
from academy.scenarios.facts import Facts, bushel
from academy.scenarios.number import COMPUTABLES
from academy.service.asking import control_view
from academy.service.chosen import chosen_settings
from academy.service.shown_facts import fact_rows

SEEDS = 24
SHARE = 0.5  # of the full-mark tolerance that rounding may take
US, METRIC = Reader("en", "us"), Reader("en", "metric")
Shown = Mapping[str, str]
ASKED = sorted(
    {
        (key, part.computable)
        for key, family in known().items()
        for part in family.parts
        if part.computable
    }
)


def si(shown: Shown, own: float, *labels: str) -> float:
    """What stands beside the label, one of some, in SI, read as a person types it."""
    label = next(label for label in labels if label in shown)
    text = shown[label].replace("per", "/").replace(",", "")
    value, unit = units.read(text, tuple(units.LABELS), "1")
    return float(units.to_si(value, unit, own))


def kernel(shown: Shown, own: float) -> float:
    """Mass of a kernel: printed, or one bushel an acre over the count that makes it."""
    if "Weight of one kernel" in shown:
        return si(shown, own, "Weight of one kernel")
    one = float(units.to_si(1.0, "bu/ac", own))
    return one / si(shown, own, "Kernels on the ground that make one bushel per acre")


def counted(shown: Shown, own: float) -> tuple[float, float]:
    """Loss at the header and behind it, by the three counts."""
    area, mass = si(shown, own, "Area of the frame"), kernel(shown, own)
    before, under, behind = (
        si(shown, own, label)
        for label in (
            "Kernels in the frame on ground not yet cut",
            "Kernels where only the header passed",
            "Kernels behind the combine",
        )
    )
    spread = si(shown, own, WIDTH) / si(shown, own, "Width of the discharge")
    one = mass / area
    return (under - before) * one, (behind - under) * one / spread


WIDTH, SPEED, PRICE = "Width", "Ground speed", "Price"
SHARE_OF_TIME = "Field efficiency"
COUNTS = (
    "Beans in the frame",
    "Kernels in the frame",
    "Kernels of the header in the frame",
)
WIRE = "Lowest wire over the lane, from the power company"
LOAD = "Highest point of the load", "Highest point of the machine, tube folded"


def loss(shown: Shown, own: float) -> float:
    """Count over area, each kernel with its mass."""
    grain = si(shown, own, *COUNTS) * kernel(shown, own)
    return grain / si(shown, own, "Area of the frame")


def capacity(shown: Shown, own: float) -> float:
    """Width times speed times the share of the time."""
    return si(shown, own, WIDTH) * si(shown, own, SPEED) * si(shown, own, SHARE_OF_TIME)


def too_dry(shown: Shown, own: float) -> float:
    """What the dry matter would weigh at the market's moisture, less what it weighs."""
    moist = si(shown, own, "Grain moisture")
    market = si(shown, own, "Moisture that the market pays in full")
    weight = si(shown, own, "Yield, reckoned at the market's moisture")
    lacking = 1.0 - (1.0 - market) / (1.0 - moist)
    return weight * lacking * si(shown, own, PRICE)


SUMS: dict[str, Callable[[Shown, float], float]] = {
    "reel_speed": lambda shown, own: (
        si(shown, own, "Reel index you want")
        * si(shown, own, SPEED)
        / (si(shown, own, "Reel diameter over the tine tips") / 2.0)
    ),
    "loss_from_count": loss,
    "money_of_loss": lambda shown, own: loss(shown, own) * si(shown, own, PRICE),
    "field_capacity": capacity,
    "work_time": lambda shown, own: (
        si(shown, own, "Area of the field") / capacity(shown, own)
    ),
    "counted_header_loss": lambda shown, own: counted(shown, own)[0],
    "counted_processing_loss": lambda shown, own: counted(shown, own)[1],
    "counted_share": lambda shown, own: (
        sum(counted(shown, own))
        / (si(shown, own, "Yield in the tank") + sum(counted(shown, own)))
    ),
    "counted_money": lambda shown, own: (
        sum(counted(shown, own)) * si(shown, own, PRICE)
    ),
    "dry_grain": too_dry,
    "drawn_in": lambda shown, own: (
        si(shown, own, "Side-belt speed")
        * si(shown, own, "Time until the hand lets go")
    ),
    "slope": lambda shown, own: atan(
        si(shown, own, "Rise over the level distance, by tape and level")
        / si(shown, own, "Level distance")
    ),
    "free_height": lambda shown, own: si(shown, own, WIRE) - si(shown, own, *LOAD),
}


def as_shown(family: Family, facts: Facts, reader: Reader) -> dict[str, str]:
    """Every printed fact by its label; a setting to choose as its part shows it."""
    shown = {row.label: row.value for row in fact_rows(family, facts, reader)}
    for part in family.parts:
        for name in part.controls:
            control = control_view(facts, name, reader)
            shown[control.label] = f"{control.as_found} {control.unit}"
    return shown


@pytest.mark.parametrize("reader", [US, METRIC], ids=["us", "metric"])
@pytest.mark.parametrize(("key", "computable"), ASKED)
def test_the_shown_facts_give_the_key(
    key: str, computable: str, reader: Reader
) -> None:
    family, asked = known()[key], COMPUTABLES[computable]
    for seed in range(SEEDS):
        facts = draw(key, family, seed)
        right, own = float(asked.value(facts)), bushel(facts)
        if right <= 0:
            continue  # such a draw is never asked
        label, _ = units.KINDS[asked.kind].shown(reader.units)
        typed, exact = (
            float(units.from_si(each, label, own))
            for each in (SUMS[computable](as_shown(family, facts, reader), own), right)
        )
        assert abs(typed / exact - 1) < SHARE * full_tolerance(exact), seed


SET_UPS = sorted(
    key
    for key, family in known().items()
    if any(part.controls for part in family.parts)
)


@pytest.mark.parametrize("key", SET_UPS)
def test_every_end_of_a_control_may_be_typed_as_it_is_shown(key: str) -> None:
    """The shown end, and the exact one in the other system."""
    family = known()[key]
    facts = draw(key, family, 1)
    controls = next(part.controls for part in family.parts if part.controls)
    for reader in (US, METRIC):
        for end in ("low", "high"):
            views = [control_view(facts, name, reader) for name in controls]
            typed = {one.name: [float(getattr(one, end)), one.unit] for one in views}
            assert set(chosen(controls, facts, typed)) == set(controls)
            for one in views:
                assert one.ends[0] <= float(getattr(one, end)) <= one.ends[1]


def chosen(
    controls: Sequence[str], facts: Facts, typed: Mapping[str, list[object]]
) -> dict[str, float]:
    settings = chosen_settings({"controls": controls}, facts, {"controls": typed})
    return {name: float(getattr(settings, name)) for name in controls}
