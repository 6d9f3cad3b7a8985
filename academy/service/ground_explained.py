"""The bar over the ground of some facts: how it follows, and what it does there."""

from collections.abc import Mapping
from dataclasses import dataclass

from academy.catalog import coefficients
from academy.drawing.bar_front import SECTIONS, FrontView, bar_front
from academy.engine.followed_bar import Following
from academy.engine.ground_profile import Heights
from academy.engine.header import Settings
from academy.language import Reader, gettext, marked, number, show, unit_word
from academy.scenarios import conditions, following
from academy.scenarios.facts import Facts
from academy.scenarios.following import AS_USUAL, Hanging
from academy.service.pictures import picture
from academy.service.views import Picture
from academy.units import KINDS, from_si

_MIDDLE = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class Ground:
    """What is drawn: settings, how the bar hangs, and which ground is met."""

    settings: Settings
    hung: Hanging = AS_USUAL
    seed: int = 1
    yours: bool = False


def following_of(facts: Facts, met: Ground) -> Following:
    """The bar of the facts over the ground that the seed draws; raises OutOfRange."""
    return following.over_ground(
        conditions.field_of(facts),
        conditions.machine_of(facts),
        met.settings,
        coefficients.load(facts["crop"]).values,
        met.seed,
        met.hung,
        following.ridge_height_of(facts["ground"]),
    )


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("How the bar follows the ground, seen from the cab"),
        "description": marked(
            "The knife over one place of the way, and the ground under it. Figures are "
            "those of a whole stretch. Of weight and soil only the direction is sure."
        ),
        "left": marked("left wing"),
        "centre": marked("centre"),
        "right": marked("right wing"),
        "height": marked("true cut height, mean"),
        "spread": marked("spread about it (standard deviation)"),
        "between": marked("nine tenths of the way"),
        "force": marked("weight on the ground, mean"),
        "pressed": marked("weight, nine tenths of the way"),
        "off_ground": marked("off the ground"),
        "pushed": marked("pushes soil"),
        "knife": marked("knife"),
        "hinge": marked("hinge between two sections"),
        "fixed": marked("knife of a bar fixed to the frame"),
        "ground": marked("ground"),
        "touching": marked("bar on the ground"),
        "off": marked("bar off the ground"),
        "pushing": marked("guards push soil"),
        "stretched": marked("Heights are drawn {times} times as large as widths."),
        "measure": marked("Measure"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _between(ends: Heights, kind: str, reader: Reader) -> str:
    label, decimals = KINDS[kind].shown(reader.units)
    low, high = (
        number(from_si(float(end), label), decimals, reader.language) for end in ends
    )
    said = gettext(marked("{low} to {high}"), reader.language)
    return f"{said.format(low=low, high=high)} {unit_word(label, reader.language)}"


def _values(made: Following, section: str, reader: Reader) -> dict[str, str]:
    told = made.of(section)
    return {
        "height": show(float(told.height), "small_length", reader),
        "spread": "± " + show(float(told.spread), "small_length", reader),
        "between": _between(made.quantiles(_MIDDLE, section), "small_length", reader),
        "force": show(float(told.force), "force_per_width", reader),
        "pressed": _between(
            made.force_quantiles(_MIDDLE, section), "force_per_width", reader
        ),
        "off_ground": show(float(told.off_ground), "share", reader),
        "pushed": show(float(told.pushing), "share", reader),
    }


def _view(made: Following, met: Ground, *, hinged: bool) -> FrontView:
    row = made.typical()
    forces = [float(made.of(section).force) for section in SECTIONS]
    return FrontView(
        width=made.mesh.width,
        ground=made.ground[row],
        knife=made.knife[row],
        fixed=made.frame[row] + float(met.settings.cut_height),
        touching=made.touching[row].tolist(),
        pushing=made.pushing[row].tolist(),
        starts=made.starts,
        forces=(forces[0], forces[1], forces[2]),
        yours=met.yours,
        hinged=hinged and met.hung.freedom != "locked",
    )


def ground_picture(
    facts: Facts, met: Ground, reader: Reader, ids: str = "ground"
) -> Picture:
    """The front view of the bar over the ground of the facts, with its table.

    Raises OutOfRange when a setting lies where it cannot be, or height control hunts.
    """
    made, words = following_of(facts, met), _words(reader)
    values: Mapping[str, Mapping[str, str]] = {
        section: _values(made, section, reader) for section in SECTIONS
    }
    width = show(made.mesh.width, "length", reader)
    hinged = (met.hung.build or conditions.machine_of(facts).build) == "hinged"
    view = _view(made, met, hinged=hinged)
    drawn = bar_front(view, words, values, width, f"{ids}-front")
    return picture(drawn, words["title"])
