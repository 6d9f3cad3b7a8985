"""The flow of crop on a header as it is found: the mats, their meeting, the drum."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from academy.catalog import coefficients, headers, mouths, parts, stands
from academy.drawing.mat_along import MatView, SideView, mat_along
from academy.drawing.mat_view import SIDES
from academy.engine import crossing
from academy.engine import mat_along as mats
from academy.engine.flow import FlowEffect, flow_effect
from academy.engine.flow_state import FlowState
from academy.engine.header import Settings
from academy.engine.stand import Stand, toughness
from academy.language import Reader, gettext, marked, show
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.pictures import picture
from academy.service.views import Picture

_POINTS = 48
Say = Callable[[str], str]


def _in_order() -> FlowState:
    state: FlowState = parts.load("flow").in_order
    return state


@dataclass(frozen=True, slots=True)
class Flowing:
    """What is drawn: settings, belts and drum as found, and the stand if not usual."""

    settings: Settings
    state: FlowState = field(default_factory=_in_order)
    stand: Stand | None = None
    yours: bool = False


def flow_of(facts: Facts, met: Flowing) -> FlowEffect:
    """The effect of belts and drum for the facts; raises OutOfRange, NotFound."""
    stems = met.stand or stands.stand_of(facts["crop"])
    return flow_effect(
        field=conditions.field_of(facts),
        machine=conditions.machine_of(facts),
        settings=met.settings,
        stand=stems,
        toughness=toughness(stems, parts.load("stand").values),
        state=met.state,
        mouth=mouths.mouth(headers.load(facts["header"])),
        coefficients=coefficients.load(facts["crop"]).values,
        c=parts.load("flow").values,
    )


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("The mat along the belts, seen from the cab"),
        "description": marked(
            "How the mat grows along each side belt, how far it flies at the middle, "
            "and what the feed drum gets. Of slip, fingers, drum and clutch only the "
            "direction is sure."
        ),
        "left": marked("left belt"),
        "right": marked("right belt"),
        "both": marked("both"),
        "measure": marked("Measure"),
        "middle": marked("The middle, heights to scale"),
        "stretched": marked("Heights are drawn {times} times as large as widths."),
        "deep": marked("mat {depth}"),
        "across": marked("lands past the middle"),
        "crop_share": marked("share of its width that brings crop"),
        "speed": marked("belt speed, as it truly runs"),
        "slip": marked("slip"),
        "depth": marked("mat as it leaves the belt"),
        "centre": marked("mat on its half of the centre belt"),
        "tension": marked("tension"),
        "track": marked("how the belt runs"),
        "gap": marked("gap under the feed drum"),
        "index": marked("squeezed mat over the gap: above 1 it goes in slugs"),
        "drum": marked("feed drum"),
        "fingers": marked("drum fingers"),
        "crossing": marked("crop that crosses over"),
        "leak": marked("lost between belt and bar"),
        "stoppages": marked("stoppages, times the usual for this mat"),
        "clutch": marked("clutch of the drum"),
        "mat": marked("mat of crop"),
        "crop": marked("crop stands here"),
        "bare": marked("already cut"),
        "belt": marked("true speed of the belt"),
        "roller": marked("what slip takes from it"),
        "flight": marked("way of the top and the bottom of the mat"),
        "underside": marked("underside of the feed drum"),
        "deflector": marked("centre deflector"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _slip(share: float, reader: Reader, say: Say) -> str:
    if share <= 0.0:
        return say(marked("does not slip"))
    if share >= parts.load("flow").values.stall_slip:
        return say(marked("stands still"))
    return say(marked("slips by {share}")).format(share=show(share, "share", reader))


def _tension(tension: float, say: Say) -> str:
    c = parts.load("flow").values
    if tension < c.mark_low:
        return say(marked("slacker than the marks"))
    if tension > c.mark_high:
        return say(marked("tighter than the marks"))
    return say(marked("between the marks"))


def _track(walk: float, say: Say) -> str:
    free = parts.load("flow").values.walk_free
    if abs(walk) <= free:
        return say(marked("runs true"))
    rear = marked("runs off to the rear")
    return say(rear if walk > 0 else marked("runs off to the bar"))


def _drum(effect: FlowEffect, say: Say) -> str:
    if effect.fling > 0.0:
        return say(marked("faster than this crop needs"))
    # what fingers add is told beside them
    early = parts.load("flow").values.slug_by_timing * effect.bunching
    if effect.slugging_factor > 1.0 + early:
        return say(marked("slower than this mass needs"))
    return say(marked("clears what comes"))


def _fingers(effect: FlowEffect, say: Say) -> str:
    if effect.bunching > 0.0:
        return say(marked("draw back too early for this crop"))
    thrown = parts.load("flow").values.carry_by_fling * effect.fling
    if effect.carry_over > thrown:
        return say(marked("draw back too late for this crop"))
    return say(marked("suit this crop"))


def _clutch(effect: FlowEffect, say: Say) -> str:
    if effect.flags["clutch_slips"]:
        return say(marked("slips"))
    if effect.flags["driveline_unprotected"]:
        return say(marked("set so tight that it does not slip"))
    return say(marked("holds"))


def _whole(
    facts: Facts, effect: FlowEffect, reader: Reader, say: Say
) -> dict[str, str]:
    gap = float(conditions.machine_of(facts).feed_gap)
    return {
        "index": show(float(effect.slugging_index), "ratio", reader),
        "gap": show(gap, "small_length", reader),
        "drum": _drum(effect, say),
        "fingers": _fingers(effect, say),
        "clutch": _clutch(effect, say),
        "crossing": show(float(effect.crossing_over), "share", reader),
        "leak": show(float(effect.belt_leak), "share", reader),
        "stoppages": show(float(effect.stoppage_factor), "ratio", reader),
    }


def _side(
    name: str, state: FlowState, effect: FlowEffect, edge: float, reader: Reader
) -> dict[str, str]:
    def of(kind: str) -> float:
        return float(getattr(effect, f"{name}_{kind}"))

    def say(text: str) -> str:
        return gettext(text, reader.language)

    return {
        "crop_share": show(float(getattr(state, f"{name}_crop")), "share", reader),
        "speed": show(of("speed"), "belt_speed", reader),
        "slip": _slip(of("slip"), reader, say),
        "depth": show(edge, "short_length", reader),
        "centre": show(of("centre"), "short_length", reader),
        "tension": _tension(of("tension"), say),
        "track": _track(of("walk"), say),
    }


def _along(across: list[float], state: FlowState, effect: FlowEffect) -> list[float]:
    """Depth [m] at places given as shares of the width."""
    return [
        float(
            mats.depth_along(
                place,
                state.left_crop,
                state.right_crop,
                effect.left_depth,
                effect.right_depth,
            )
        )
        for place in across
    ]


def _crop(name: str, state: FlowState, width: float) -> tuple[float, float]:
    """Where crop stands on one side, from the left end of the header [m]."""
    other = "right" if name == "left" else "left"
    own, opposite = (getattr(state, f"{each}_crop") for each in (name, other))
    start, band = (float(v) for v in mats.crop_band(own, opposite, width / 2.0))
    if name == "left":
        return start, start + band
    return width - start - band, width - start


def _meets(name: str, effect: FlowEffect) -> bool:
    """Whether the other stream stops all of this one."""
    other = "right" if name == "left" else "left"
    streams = []
    for each in (name, other):
        speed = getattr(effect, f"{each}_speed")
        streams += [getattr(effect, f"{each}_depth") * speed, speed]
    return float(crossing.unopposed_share(*streams)) == 0.0


def _view(
    facts: Facts, met: Flowing, effect: FlowEffect, edges: Mapping[str, float]
) -> MatView:
    machine = conditions.machine_of(facts)
    mouth = mouths.mouth(headers.load(facts["header"]))
    width, opening = float(machine.width), float(mouth.opening)
    ends = [0.5 - opening / width / 2, 0.5 + opening / width / 2]
    across = sorted([*[k / _POINTS for k in range(_POINTS + 1)], *ends])
    left, right = (
        SideView(
            crop=_crop(name, met.state, width),
            speed=float(getattr(effect, f"{name}_speed")),
            edge_depth=edges[name],
            centre_depth=float(getattr(effect, f"{name}_centre")),
            meets=_meets(name, effect),
        )
        for name in SIDES
    )
    return MatView(
        width=width,
        opening=opening,
        drop=float(parts.load("flow").values.belt_drop),
        feed_gap=float(machine.feed_gap),
        gravity=float(mouth.gravity),
        roller_speed=float(met.settings.belt_speed),
        places=[width * place for place in across],
        depths=_along(across, met.state, effect),
        sides=(left, right),
        deflector=met.state.deflector == "on",
        yours=met.yours,
    )


def flow_picture(
    facts: Facts, met: Flowing, reader: Reader, ids: str = "flow"
) -> Picture:
    """The mats along the belts of the facts, with their table.

    Raises OutOfRange when a setting or a state lies where it cannot be.
    """
    effect, words = flow_of(facts, met), _words(reader)

    def say(text: str) -> str:
        return gettext(text, reader.language)

    width = float(conditions.machine_of(facts).width)
    opening = float(mouths.mouth(headers.load(facts["header"])).opening)
    half = opening / width / 2.0
    at = _along([0.5 - half, 0.5 + half], met.state, effect)
    edges = dict(zip(SIDES, at, strict=True))
    values = {
        name: _side(name, met.state, effect, edges[name], reader) for name in SIDES
    }
    drawn = mat_along(
        _view(facts, met, effect, edges),
        words,
        values,
        _whole(facts, effect, reader, say),
        show(opening, "length", reader),
        f"{ids}-mat",
    )
    return picture(drawn, words["title"])
