"""A reel out of step on the header of some facts: where it stands, what it loses."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.catalog import coefficients, headers, parts
from academy.drawing.axis import marked as marks_of
from academy.drawing.reel_front import PIECES, SECTIONS, ReelView, reel_front
from academy.engine import across, header
from academy.engine.conditions import Machine, Settings
from academy.engine.readings import Readings
from academy.engine.reel_sections import (
    ReelSectionsEffect,
    ReelSectionsState,
    arm_offset,
    reel_sections_effect,
)
from academy.language import Reader, gettext, marked, number, show
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.pictures import picture
from academy.service.views import Picture

_STRIPS = 24  # three thirds of eight
_MARKS = 3
_LEAST_SEEN = 0.01  # the scale of losses reaches at least so far


@dataclass(frozen=True, slots=True)
class _Run:
    """The reel of the facts, its effect and the run it gives, by place."""

    machine: Machine
    settings: Settings
    reel_parts: int
    effect: ReelSectionsEffect
    read: Readings
    in_step: float


def _run(facts: Facts, settings: Settings, state: ReelSectionsState) -> _Run:
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    believed = coefficients.load(facts["crop"]).values
    count = headers.load(facts["header"]).parts.reel_parts
    effect = reel_sections_effect(
        machine=machine,
        settings=settings,
        state=state,
        c=parts.load("reel_sections").values,
        reel_parts=float(count),
        places=across.places(_STRIPS),
    )
    uneven = replace(
        settings, reel_height=settings.reel_height + effect.reel_height_add
    )
    level = header.run(field, machine, settings, believed)
    return _Run(
        machine=machine,
        settings=settings,
        reel_parts=count,
        effect=effect,
        read=header.run(field, machine, uneven, believed),
        in_step=sum(float(getattr(level, piece)) for piece in PIECES),
    )


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("The reel over the bar, seen from the cab"),
        "description": marked(
            "Where the arms hold the axle over the width, and what the reel loses at "
            "each place. Sizes of the losses are calibrated, their directions sure."
        ),
        "left": marked("left third"),
        "centre": marked("middle third"),
        "right": marked("right third"),
        "offset": marked("axle over what is set, mean"),
        "gap": marked("least gap to the raised bar"),
        "shatter": marked("knocked out by the tines"),
        "loose_stalk": marked("stalks not carried in"),
        "axle": marked("axle of the reel on its arms"),
        "tines": marked("tines, down to their tips"),
        "raised": marked("bar in its raised position"),
        "allowed": marked("tips no lower than this"),
        "bar": marked("bar down"),
        "in_step": marked("loss of a reel in step"),
        "losses": marked("Loss at the reel, % of the crop"),
        "near": marked("too near"),
        "stretched": marked("Heights are drawn {times} times as large as widths."),
        "measure": marked("Measure"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _third(values: object, place: int) -> NDArray[np.float64]:
    """The strips of one third of the width."""
    each = np.broadcast_to(np.asarray(values, dtype=np.float64), (_STRIPS,))
    return np.array_split(each, len(SECTIONS))[place]


def _values(made: _Run, place: int, reader: Reader) -> dict[str, str]:
    def of(values: object) -> NDArray[np.float64]:
        return _third(values, place)

    offset = float(of(made.effect.reel_height_add).mean())
    said = {
        "offset": show(offset, "short_length", reader),
        "gap": show(float(of(made.effect.finger_gap).min()), "short_length", reader),
    }
    for piece in PIECES:
        lost = float(of(getattr(made.read, piece)).mean())
        said[piece] = show(lost, "share", reader)
    return said


def _view(made: _Run, state: ReelSectionsState, yours: bool) -> ReelView:
    arms = np.linspace(-0.5, 0.5, made.reel_parts + 1)
    offset = arm_offset(
        arms,
        state.left_arm,
        state.centre_arm,
        state.right_arm,
        float(made.reel_parts),
    )
    m = made.machine
    return ReelView(
        width=float(m.width),
        arms=((arms + 0.5) * m.width).tolist(),
        axle=np.asarray(made.settings.reel_height + offset).tolist(),
        tip_radius=float(m.reel_tip_radius),
        bar_rise=float(m.bar_rise),
        least_gap=float(m.least_finger_gap),
        pieces={
            piece: np.broadcast_to(getattr(made.read, piece), (_STRIPS,)).tolist()
            for piece in PIECES
        },
        in_step=made.in_step,
        yours=yours,
    )


def reel_sections_picture(
    facts: Facts,
    settings: Settings,
    state: ReelSectionsState,
    reader: Reader,
    ids: str = "reel",
    yours: bool = False,
) -> Picture:
    """The reel of the facts from the front as its arms stand, with what it loses.

    Raises OutOfRange when an input lies where it cannot be.
    """
    made, words = _run(facts, settings, state), _words(reader)
    view = _view(made, state, yours)
    values = {
        section: _values(made, place, reader) for place, section in enumerate(SECTIONS)
    }
    most = max(map(sum, zip(*view.pieces.values(), strict=True)))
    marks = [
        (value / 100.0, label)
        for value, label in marks_of(
            0.0,
            100.0 * max(most, made.in_step, _LEAST_SEEN),
            _MARKS,
            lambda value, decimals: number(value, decimals, reader.language),
        )
    ]
    drawn = reel_front(view, words, values, marks, f"{ids}-front")
    return picture(drawn, words["title"])
