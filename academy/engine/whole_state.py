"""A header beyond its measures and settings: build, state, beliefs and readings."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from academy.engine.cutting_diagram import Knife
from academy.engine.ends import EndsCoefficients, EndsEffect, EndsState
from academy.engine.flow import FlowEffect
from academy.engine.flow_state import FlowCoefficients, FlowState, Mouth
from academy.engine.header import CutStage, ReelStage
from academy.engine.hour import HourCoefficients, Hours, HourState, Weathering
from academy.engine.hung_bar import BarBuild, BarCoefficients, BarEffect, BarState
from academy.engine.knife_effect import KnifeEffect
from academy.engine.knife_state import KnifeCoefficients, KnifeKind, KnifeState
from academy.engine.readings import Readings
from academy.engine.reel_sections import (
    ReelSectionsCoefficients,
    ReelSectionsEffect,
    ReelSectionsState,
)
from academy.engine.si import Count, Ratio
from academy.engine.stand import Stand, StandCoefficients
from academy.engine.threshing import (
    ThreshingCoefficients,
    ThreshingEffect,
    ThreshingState,
)
from academy.engine.wings import (
    Hold,
    Wing,
    WingsCoefficients,
    WingsEffect,
    WingsState,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """What one header is built like beyond its measures, and its crop's hours."""

    reel_parts: Count
    wing_share: Ratio  # of the width, each wing
    holds: Mapping[Wing, Hold]  # what each state makes of a wing
    mouth: Mouth
    hours: Hours  # of the crop
    usual_green: Ratio  # share of green stems that is usual in the crop
    bar: BarBuild
    kinds: Mapping[str, Knife]  # of knife that could be fitted
    knife: KnifeKind  # as built


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The stand before the header and the state of each of its parts."""

    stand: Stand
    knife: KnifeState
    reel_sections: ReelSectionsState
    ends: EndsState
    wings: WingsState
    bar: BarState
    flow: FlowState
    hour: HourState
    threshing: ThreshingState


@dataclass(frozen=True, slots=True, kw_only=True)
class Beliefs:
    """What is believed of stems and of each part."""

    stand: StandCoefficients
    knife: KnifeCoefficients
    reel_sections: ReelSectionsCoefficients
    ends: EndsCoefficients
    wings: WingsCoefficients
    bar: BarCoefficients
    flow: FlowCoefficients
    hour: HourCoefficients
    threshing: ThreshingCoefficients


class Strips(NamedTuple):
    """What differs over the width, along the last axis.

    Of ``reel`` and ``cut``, what is alike at all places stands there once.
    """

    place: NDArray[np.float64]  # −½ at the left end to ½ at the right
    pieces: Mapping[str, Ratio]  # of the crop of that strip, by ``GATHERED``
    reel: ReelStage
    cut: CutStage


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeReadings:
    """What a header in its state does: as a whole, over the width, and by part."""

    readings: Readings  # means over the width; its limits are those of every part
    strips: Strips
    toughness: Ratio
    knife: KnifeEffect
    reel_sections: ReelSectionsEffect
    ends: EndsEffect
    wings: WingsEffect
    bar: BarEffect
    flow: FlowEffect
    hour: Weathering
    threshing: ThreshingEffect
