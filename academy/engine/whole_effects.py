"""What the state of every part of a header does, each by its own module."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.ends import EndsEffect, ends_effect
from academy.engine.flow import FlowEffect, flow_effect
from academy.engine.hour import Weathering, weathering
from academy.engine.hung_bar import BarEffect, bar_effect
from academy.engine.knife_effect import KnifeEffect, knife_effect
from academy.engine.reel_sections import ReelSectionsEffect, reel_sections_effect
from academy.engine.si import Ratio
from academy.engine.stand import toughness
from academy.engine.threshing import ThreshingEffect, threshing_effect
from academy.engine.whole_state import Beliefs, Build, State
from academy.engine.wings import WingsEffect, wings_effect


class Effects(NamedTuple):
    """What each part's state does."""

    toughness: Ratio
    knife: KnifeEffect
    reel_sections: ReelSectionsEffect
    ends: EndsEffect
    wings: WingsEffect
    bar: BarEffect
    flow: FlowEffect
    hour: Weathering
    threshing: ThreshingEffect


def effects_of(
    field: Field,
    machine: Machine,
    settings: Settings,
    c: Coefficients,
    build: Build,
    state: State,
    believed: Beliefs,
    places: NDArray[np.float64],
) -> Effects:
    """What the state of each part does, over ``places``; raises OutOfRange."""
    stand = state.stand
    tough = toughness(stand, believed.stand)
    return Effects(
        toughness=tough,
        knife=knife_effect(
            machine=machine,
            settings=settings,
            stand=stand,
            toughness=tough,
            state=state.knife,
            kinds=build.kinds,
            built=build.knife,
            c=believed.knife,
        ),
        reel_sections=reel_sections_effect(
            machine=machine,
            settings=settings,
            state=state.reel_sections,
            c=believed.reel_sections,
            reel_parts=build.reel_parts,
            places=places,
        ),
        ends=ends_effect(
            field=field,
            machine=machine,
            stand=stand,
            toughness=tough,
            believed=c,
            state=state.ends,
            c=believed.ends,
        ),
        wings=wings_effect(
            settings=settings,
            state=state.wings,
            c=believed.wings,
            holds=build.holds,
            wing_share=build.wing_share,
            places=places,
        ),
        bar=bar_effect(
            machine=machine,
            settings=settings,
            state=state.bar,
            build=build.bar,
            c=believed.bar,
            places=places,
        ),
        flow=flow_effect(
            field=field,
            machine=machine,
            settings=settings,
            stand=stand,
            toughness=tough,
            state=state.flow,
            mouth=build.mouth,
            coefficients=c,
            c=believed.flow,
        ),
        hour=weathering(
            state=state.hour, daily_loss=build.hours.daily_loss, c=believed.hour
        ),
        threshing=threshing_effect(
            moisture=field.moisture,
            slope=field.slope,
            lowest_moisture=build.hours.lowest_moisture,
            highest_moisture=build.hours.highest_moisture,
            green_stems=state.stand.green_stems,
            usual_green=build.usual_green,
            state=state.threshing,
            c=believed.threshing,
        ),
    )
