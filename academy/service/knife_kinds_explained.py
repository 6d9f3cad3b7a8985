"""What each kind of knife does to the stems at one pace: a picture for every kind."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from academy.catalog import knives, parts
from academy.drawing.cutting_pattern import CuttingView, cutting_pattern
from academy.engine.conditions import Settings
from academy.engine.cutting_diagram import Knife, diagram
from academy.engine.knife import advance_per_stroke
from academy.engine.knife_state import KnifeState
from academy.language import Reader, gettext, marked
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.cutting_explained import pattern_values, pattern_words
from academy.service.pictures import picture
from academy.service.views import Picture


@dataclass(frozen=True, slots=True)
class Pace:
    """What is drawn: settings, and the knife as found (in order when nothing is said).

    Of the knife as found its strokes and its register are drawn; kinds are compared.
    """

    settings: Settings
    found: KnifeState | None = None
    yours: bool = False

    @property
    def state(self) -> KnifeState:
        """The knife as found, or as it should be."""
        state: KnifeState = self.found or parts.load("knife").in_order
        return state


def _words(name: str, knife: Knife, reader: Reader) -> Mapping[str, str]:
    one = marked(
        "The ground of one section over two strokes, to scale. Stems on bare ground "
        "are bent forward by the knife back; where bands cross, stubble is cut again."
    )
    both = marked(
        "The ground of a long and of a short section over two strokes, to scale. Stems "
        "on bare ground are bent forward by the knife back; where bands cross, stubble "
        "is cut again."
    )
    title = marked("Knife with {kind}: what it does to the stems, from above")
    words = pattern_words(reader)
    words["title"] = gettext(title, reader.language).format(kind=name)
    words["description"] = gettext(one if knife.uniform else both, reader.language)
    return words


def knife_kind_picture(
    facts: Facts, pace: Pace, kind: str, reader: Reader, ids: str
) -> Picture:
    """The cutting pattern of one kind of knife on the machine of the facts.

    Raises NotFound for an unknown kind, and OutOfRange when the machine stands still or
    the knife is farther out of register than its edges reach.
    """
    entry, state = knives.of(kind), pace.state
    knife = replace(knives.knife(entry), register=float(state.register))
    rate = conditions.machine_of(facts).stroke_rate * state.stroke_share
    advance = float(advance_per_stroke(pace.settings.ground_speed, rate))
    words = _words(entry.name.for_language(reader.language), knife, reader)
    values = pattern_values(diagram(knife, advance), reader)
    view = CuttingView(knife, advance, yours=pace.yours)
    return picture(cutting_pattern(view, words, values, ids), words["title"])


def knife_kind_pictures(
    facts: Facts, pace: Pace, reader: Reader, ids: str = "knife"
) -> tuple[Picture, ...]:
    """The cutting pattern of every kind of knife at one pace; raises OutOfRange."""
    return tuple(
        knife_kind_picture(facts, pace, kind, reader, f"{ids}-{kind}")
        for kind in knives.load()
    )
