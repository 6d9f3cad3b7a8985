"""Wings on the header of some facts: what their state does, in a picture and words."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.catalog import ground_following, headers, parts
from academy.catalog import wings as catalog
from academy.drawing.bar_front import SECTIONS, FrontView, bar_front
from academy.engine import across
from academy.engine.conditions import Machine, Settings
from academy.engine.wings import Hold, WingsEffect, WingsState, wing_reach, wings_effect
from academy.language import Reader, gettext, marked, show
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.pictures import picture
from academy.service.views import FactRow, Picture

_STATIONS = 120
_PUSHES = 0.5  # half way to pushing all the time
_OFF = 0.01  # metres over the height that is set at which the bar is off the ground
BROKEN = {
    "wings_not_working": marked("A wing is not in its working state while cutting."),
    "wings_may_rise": marked("The wings can rise or spring open on the road."),
    "wing_may_drop": marked("A raised wing can come down on whoever is beneath."),
    "wings_differ": marked("The two wings are in different states."),
    "wing_props_left": marked("A prop is still set under the wings."),
}
HELD: dict[Hold, str] = {
    "floats": marked("floats"),
    "hangs": marked("hangs"),
    "stiff": marked("held stiff"),
}


@dataclass(frozen=True, slots=True)
class Winged:
    """A header's wings in a state: the machine, its design, and the effect."""

    machine: Machine
    settings: Settings
    state: WingsState
    kind: catalog.Kind
    wing_share: float
    places: NDArray[np.float64]
    effect: WingsEffect

    @property
    def holds(self) -> tuple[Hold, Hold]:
        """What holds the left wing, and the right one."""
        held = catalog.load().designs[self.kind].holds
        return held[self.state.left_wing], held[self.state.right_wing]


def winged(facts: Facts, settings: Settings, state: WingsState) -> Winged:
    """The wings of the facts' header; raises OutOfRange."""
    kind: catalog.Kind = headers.load(facts["header"]).parts.wings
    share = ground_following.load().si("wing_share")
    places = np.asarray(across.places(_STATIONS))
    effect = wings_effect(
        settings=settings,
        state=state,
        c=parts.load("wings").values,
        holds=catalog.load().designs[kind].holds,
        wing_share=share,
        places=places,
    )
    machine = conditions.machine_of(facts)
    return Winged(machine, settings, state, kind, share, places, effect)


# --- the picture


def _ground(made: Winged) -> NDArray[np.float64]:
    """A hollow, then a mound, under each wing: a third of what the bar can travel."""
    reach = np.asarray(wing_reach(made.places, made.wing_share))
    deep = float(made.machine.bar_travel) / 3.0
    ground: NDArray[np.float64] = -deep * np.sin(2.0 * np.pi * reach)
    return ground


def _forces(made: Winged) -> NDArray[np.float64]:
    """Weight of each section on the ground; off the ground it has none."""
    forces = np.asarray(made.effect.section_force, dtype=np.float64)
    return forces if made.machine.carried == "ground" else np.zeros_like(forces)


def _knife(made: Winged, ground: NDArray[np.float64]) -> NDArray[np.float64]:
    """The bar takes the ground up and down as far as its travel lets it."""
    level = np.asarray(made.settings.cut_height + made.effect.cut_height_add)
    if made.machine.carried != "ground":
        return level
    half = made.machine.bar_travel / 2.0 * np.asarray(made.effect.travel_factor)
    followed: NDArray[np.float64] = level + np.clip(ground, -half, half)
    return followed


def _view(made: Winged, yours: bool) -> FrontView:
    ground, cut = _ground(made), float(made.settings.cut_height)
    knife, lying = _knife(made, ground), made.machine.carried == "ground"
    over = knife - ground
    touching = lying & (over <= cut + _OFF)
    pushing = (over <= 0.0) | (touching & (np.asarray(made.effect.pushing) > _PUSHES))
    first = int(made.wing_share * _STATIONS)
    forces = [float(force) for force in _forces(made)]
    return FrontView(
        width=float(made.machine.width),
        ground=ground,
        knife=np.maximum(knife, ground),
        fixed=np.full(_STATIONS, cut),
        touching=touching.tolist(),
        pushing=pushing.tolist(),
        starts=(0, first, _STATIONS - first),
        forces=(forces[0], forces[1], forces[2]),
        yours=yours,
    )


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("What the state of the wings does to the bar"),
        "description": marked(
            "The bar from the seat over a hollow and a mound under each wing, drawn "
            "for the purpose. Directions are sure, sizes are judged."
        ),
        "left": marked("left wing"),
        "centre": marked("centre"),
        "right": marked("right wing"),
        "height": marked("how the section is held"),
        "spread": marked("cut height over level ground, at the end"),
        "force": marked("weight on the ground, mean"),
        "travel": marked("travel that is left"),
        "pushed": marked("tendency to push soil, 0 to 1"),
        "heavy": marked("clearly heavier than the rest"),
        "knife": marked("knife"),
        "fixed": marked("cut height that is set, over level ground"),
        "ground": marked("ground"),
        "touching": marked("bar on the ground"),
        "off": marked("bar off the ground"),
        "pushing": marked("guards push soil"),
        "stretched": marked("Heights are drawn {times} times as large as widths."),
        "measure": marked("Measure"),
        "yes": marked("yes"),
        "no": marked("no"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _values(
    made: Winged, section: int, words: dict[str, str], reader: Reader
) -> dict[str, str]:
    """One section at its outer end; the centre at its middle."""
    at, effect = (0, _STATIONS // 2, _STATIONS - 1)[section], made.effect
    left, right = made.holds
    held: Hold = (left, "floats", right)[section]
    cut = float(made.settings.cut_height) + float(np.asarray(effect.cut_height_add)[at])
    heavy = bool(np.asarray(effect.section_heavy)[section])
    travel = float(np.asarray(effect.travel_factor)[at] * made.machine.bar_travel)
    force = float(_forces(made)[section])
    pushed = float(np.asarray(effect.section_pushing)[section])
    return {
        "height": gettext(HELD[held], reader.language),
        "spread": show(cut, "small_length", reader),
        "force": show(force, "force_per_width", reader),
        "travel": show(travel, "small_length", reader),
        "pushed": show(pushed, "ratio", reader),
        "heavy": words["yes" if heavy else "no"],
    }


def wings_picture(
    facts: Facts,
    settings: Settings,
    state: WingsState,
    reader: Reader,
    ids: str = "wings",
    yours: bool = False,
) -> Picture:
    """The bar from the front over drawn ground, as the wings are held and loaded.

    It shows what would happen while cutting. Raises OutOfRange when an input lies where
    it cannot be.
    """
    made, words = winged(facts, settings, state), _words(reader)
    values = {
        section: _values(made, place, words, reader)
        for place, section in enumerate(SECTIONS)
    }
    width = show(float(made.machine.width), "length", reader)
    drawn = bar_front(_view(made, yours), words, values, width, f"{ids}-front")
    return picture(drawn, words["title"])


# --- in words


def wings_told(facts: Facts, state: WingsState, reader: Reader) -> tuple[FactRow, ...]:
    """What comes of the state in the task, wing by wing, and how it is changed."""
    known, language = catalog.load(), reader.language
    kind: catalog.Kind = headers.load(facts["header"]).parts.wings
    keys = (f"{state.task}-{wing}" for wing in (state.left_wing, state.right_wing))
    names = (marked("Left wing"), marked("Right wing"))
    rows = [
        FactRow(
            gettext(name, language), known.pairs[key].on(kind).for_language(language)
        )
        for name, key in zip(names, keys, strict=True)
    ]
    design = known.designs[kind]
    rows += [
        FactRow(gettext(marked("How the state shows"), language),
                design.shown.for_language(language)),
        FactRow(gettext(marked("How it is changed"), language),
                design.changed.for_language(language)),
    ]  # fmt: skip
    if state.task == "servicing":
        rows += [
            FactRow(
                gettext(marked("Beneath"), language), rule.text.for_language(language)
            )
            for rule in (known.rules["no-prop"], known.rules["oil-drops"])
        ]
    return tuple(rows)
