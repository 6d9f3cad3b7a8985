"""What the parts of the header do on the try-out bench, in words and figures."""

from collections.abc import Mapping

from academy.engine.conditions import Carried
from academy.engine.readings import Flags
from academy.engine.whole_state import WholeReadings
from academy.language import Reader, gettext, marked, show
from academy.scenarios import whole
from academy.service.limit_words import LIMITS
from academy.service.views import Table
from academy.service.wings_explained import BROKEN

_ROWS = (
    ("knife", "once", "share", marked("Stems cut once and clean")),
    ("knife", "recut", "share", marked("Stubble cut again")),
    ("knife", "ragged", "share", marked("Stubs left ragged")),
    ("knife", "drag", "share", marked("How much the knife drags old stalks along")),
    ("knife", "power_mean", "power", marked("Power of the knife drive, on average")),
    (
        "knife",
        "power_peak",
        "power",
        marked("Power of the knife drive, fullest stroke"),
    ),
    ("reel_sections", "step", "short_length", marked("Highest reel arm over lowest")),
    ("reel_sections", "loop_cover", "ratio", marked("Cover of the bats' loops")),
    ("ends", "width_lost", "small_length", marked("Width of crop lost at each end")),
    (
        "bar",
        "hunting_index",
        "ratio",
        marked("Height control: from 1 up it hunts"),
    ),
    ("flow", "left_slip", "share", marked("Slip of the left belt")),
    ("flow", "right_slip", "share", marked("Slip of the right belt")),
    ("flow", "slugging_index", "ratio", marked("Squeezed mat over the drum's gap")),
    ("flow", "wrap_tendency", "share", marked("How much the drum tends to wrap")),
    ("flow", "carry_over", "share", marked("How much the drum carries round")),
    ("flow", "crossing_over", "share", marked("Crop that lands on the other belt")),
    ("flow", "clutch_load", "ratio", marked("Drum torque over that of its clutch")),
    (
        "hour",
        "preharvest",
        "share",
        marked("Lost by waiting, before the cut (not counted)"),
    ),
)
_SECTIONS = (
    marked("Weight on the ground, left wing"),
    marked("Weight on the ground, centre"),
    marked("Weight on the ground, right wing"),
)
_CHOICE = {
    1.0: marked("Long dividers suit this crop clearly better."),
    -1.0: marked("Short dividers suit this crop clearly better."),
}
SIGNS: Mapping[str, str] = {
    "hold_down_wide": marked("Stems can fold between section and guard."),
    "hold_down_tight": marked(
        "A hold-down runs clearly hotter than its neighbours: too tight."
    ),
    "out_of_register": marked("The knife ends its strokes beside the guards' middles."),
    "knife_slow": marked("The knife is too slow to cut cleanly."),
    "bearing_hot": marked("A bearing of the knife drive is hot: act before it fails."),
    "out_of_step": marked("The reel's parts stand out of step."),
    "belt_off_marks": marked("A belt's tension lies off its marks."),
    "belt_edge_rubs": marked("A belt runs off its track and rubs."),
    "belt_slips": marked("A belt slips on its roller."),
    "belt_stalls": marked("A belt stalls."),
    "clutch_slips": marked("The clutch of the drum slips."),
    "driveline_unprotected": marked(
        "The drum is plugged and its clutch does not slip."
    ),
}
# what rotor and moisture do to the grain; above 0 there is more of it
_TENDENCIES: Mapping[str, str] = {
    "crack_tendency": marked("More grain is split: it is dry, or the rotor fast."),
    "bruise_tendency": marked("More grain is crushed: it is damp, or the rotor fast."),
    "unthreshed_tendency": marked(
        "More pods or heads stay whole: the crop is damp, or the rotor slow."
    ),
}
BROKEN_LIMITS: Mapping[str, str] = {
    **LIMITS,
    **BROKEN,
    "control_hunts": marked(
        "The height control hunts: the header swings up and down by itself."
    ),
    "bearing_stop": marked("A bearing is hot enough to burn: stop now."),
}


def _raised(flags: Mapping[str, Flags], words: Mapping[str, str]) -> list[str]:
    return [words[name] for name, flag in flags.items() if bool(flag)]


def limits_told(done: WholeReadings, reader: Reader) -> tuple[str, ...]:
    """The hard limits that are broken."""
    broken = _raised(done.readings.violations, BROKEN_LIMITS)
    return tuple(gettext(text, reader.language) for text in broken)


def signs_told(done: WholeReadings, reader: Reader) -> tuple[str, ...]:
    """What one would notice of the parts, short of a broken limit."""
    flags: dict[str, Flags] = {
        **done.knife.signs,
        "out_of_step": done.reel_sections.out_of_step,
        **{name: flag for name, flag in done.flow.flags.items() if name in SIGNS},
    }
    tends: dict[str, Flags] = {
        name: getattr(done.threshing, name) > 0.0 for name in _TENDENCIES
    }
    told = [*_raised(flags, SIGNS), *_raised(tends, _TENDENCIES)]
    if float(done.ends.clear_choice) in _CHOICE:
        told.append(_CHOICE[float(done.ends.clear_choice)])
    return tuple(gettext(text, reader.language) for text in told)


def parts_table(done: WholeReadings, carried: Carried, reader: Reader) -> Table:
    """Readings of the parts, each in the reader's units; off the ground none weighs.

    What a locked bar weighs on the ground is up to the frame, and is left out.
    """
    say = reader.language
    tough = gettext(marked("Share of the stems that are tough"), say)
    rows = [(tough, show(float(done.toughness), "share", reader))]
    rows += [
        (
            gettext(words, say),
            show(float(getattr(getattr(done, part), name)), kind, reader),
        )
        for part, name, kind, words in _ROWS
    ]
    lies = 1.0 if carried == "ground" else 0.0
    forces = [lies * force for force in whole.section_forces(done)]
    rows += [
        (gettext(words, say), show(force, "force_per_width", reader))
        for words, force in zip(_SECTIONS, forces, strict=True)
        if float(done.bar.travel_factor) > 0.0
    ]
    head = (gettext(marked("Reading"), say), gettext(marked("Value"), say))
    return Table(gettext(marked("What its parts do"), say), head, tuple(rows))
