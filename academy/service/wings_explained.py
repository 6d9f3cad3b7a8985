"""Wings on the header of some facts: what their state does, in a picture and words."""

from collections.abc import Mapping

from academy.catalog import headers
from academy.catalog import wings as catalog
from academy.drawing.bar_front import SECTIONS, FrontView, bar_front
from academy.engine.conditions import Settings
from academy.engine.wings import Hold, WingsState, pairs_of
from academy.language import Reader, gettext, marked, show
from academy.scenarios.facts import Facts
from academy.scenarios.winged import (
    STATIONS,
    Section,
    Winged,
    over_ground,
    sections,
    winged,
)
from academy.service.pictures import picture
from academy.service.views import FactRow, Picture

BROKEN = {
    "wings_not_working": marked("A wing is not in its working state while cutting."),
    "wings_may_rise": marked("The wings can rise or spring open on the road."),
    "wing_may_drop": marked("A raised wing can come down on whoever is beneath."),
    "wings_differ": marked("The two wings are in different states."),
    "wing_props_left": marked("A prop is still set under the wings."),
}
HELD: Mapping[Hold, str] = {
    "floats": marked("floats"),
    "hangs": marked("hangs"),
    "stiff": marked("held stiff"),
}


# --- the picture


def _view(made: Winged, told: tuple[Section, ...], yours: bool) -> FrontView:
    over = over_ground(made)
    left, centre, right = (section.force for section in told)
    return FrontView(
        width=float(made.machine.width),
        ground=over.ground,
        knife=over.knife,
        fixed=(float(made.settings.cut_height),) * STATIONS,
        touching=over.touching,
        pushing=over.pushing,
        starts=over.starts,
        forces=(left, centre, right),
        yours=yours,
    )


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("What the state of the wings does to the bar"),
        "description": marked(
            "The bar from the seat over uneven ground drawn for the purpose. "
            "Directions are sure, sizes are judged."
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
    section: Section, words: Mapping[str, str], reader: Reader
) -> dict[str, str]:
    return {
        "height": gettext(HELD[section.held], reader.language),
        "spread": show(section.cut_height, "small_length", reader),
        "force": show(section.force, "force_per_width", reader),
        "travel": show(section.travel, "share", reader),
        "pushed": show(section.pushing, "ratio", reader),
        "heavy": words["yes" if section.heavy else "no"],
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
    told = sections(made)
    values = {
        name: _values(section, words, reader)
        for name, section in zip(SECTIONS, told, strict=True)
    }
    width = show(float(made.machine.width), "length", reader)
    drawn = bar_front(_view(made, told, yours), words, values, width, f"{ids}-front")
    return picture(drawn, words["title"])


# --- in words


def wings_told(facts: Facts, state: WingsState, reader: Reader) -> tuple[FactRow, ...]:
    """What comes of the state in the task, wing by wing, and how it is changed."""
    known, language = catalog.load(), reader.language
    kind: catalog.Kind = headers.load(facts["header"]).parts.wings
    names = (marked("Left wing"), marked("Right wing"))
    rows = [
        FactRow(
            gettext(name, language), known.pairs[key].on(kind).for_language(language)
        )
        for name, key in zip(names, pairs_of(state), strict=True)
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
