"""A header over drawn ground, from what the engine's other runs start from."""

from dataclasses import dataclass, replace

import numpy as np

from academy.catalog import ground_following as figures
from academy.catalog import grounds
from academy.engine import bar, ground_profile
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Build, Field, Machine, Sensed, Settings
from academy.engine.followed_bar import Following
from academy.engine.frame_following import Answer, controlled, wheeled
from academy.engine.ground_following import (
    Bar,
    Carriage,
    Freedom,
    Soil,
    follow,
)
from academy.engine.ground_profile import Mesh, Waves
from academy.engine.si import Metre, NewtonPerMetre, Radian, Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """How the bar hangs on the frame, beyond what settings say."""

    freedom: Freedom = "free"
    build: Build | None = None  # the header's own
    sensed: Sensed | None = None  # the header's own
    float_force: tuple[NewtonPerMetre, NewtonPerMetre, NewtonPerMetre] | None = None
    levelled: bool = True
    tilt: Radian = 0.0
    shoes_down: Metre = 0.0  # farther than when the cut height was set
    header_angle: Radian = 0.0  # steeper than it was then
    control_response: Ratio = 1.0  # quickness of the height control, over its usual one


AS_USUAL = Hanging()


def waves_of(field: Field, coefficients: Coefficients) -> Waves:
    """The waves of the field's ground."""
    known = figures.load()
    return Waves(
        ground_roughness=field.ground_roughness,
        reference_wavenumber=coefficients.reference_wavenumber,
        low_wavenumber=known.si("low_wavenumber"),
        high_wavenumber=known.si("high_wavenumber"),
    )


def mesh_of(machine: Machine, waves: Waves) -> Mesh:
    """The usual stretch of ground as wide as the header."""
    known = figures.load()
    return ground_profile.mesh_of(
        known.si("travel"), machine.width, known.si("step"), waves
    )


def answer_of(machine: Machine, settings: Settings, hung: Hanging) -> Answer:
    """What the frame answers: gauge wheels, or its height control at this speed."""
    if machine.carried == "wheels":
        return wheeled(machine.wheel_base)
    dead_time = figures.load().si("dead_time")
    bandwidth = machine.control_bandwidth * hung.control_response
    return controlled(bandwidth, dead_time, settings.ground_speed)


def bar_of(
    machine: Machine, settings: Settings, coefficients: Coefficients, hung: Hanging
) -> Bar:
    """The bar of a header, as it hangs."""
    known, build = figures.load(), hung.build or machine.build
    floats = known.si("section_float") if build == "hinged" else machine.bar_travel
    return Bar(
        build=build,
        freedom=hung.freedom,
        travel=floats,
        bar_wavenumber=coefficients.bar_wavenumber,
        wing_share=known.si("wing_share"),
        bar_mass=coefficients.bar_mass,
        float_force=hung.float_force or (settings.float_force,) * 3,
        half_free_weight=known.si("half_free_weight"),
    )


def carriage_of(machine: Machine, settings: Settings, hung: Hanging) -> Carriage:
    """What carries the header, and the height it is set to.

    Gauge wheels stand under all of it, whatever its sensors see.
    """
    known, sensed = figures.load(), hung.sensed or machine.sensed
    return Carriage(
        carried=machine.carried,
        answer=answer_of(machine, settings, hung),
        sensed="whole" if machine.carried == "wheels" else sensed,
        levelled=hung.levelled,
        tilt=hung.tilt,
        track=known.si("track"),
        reach=known.si("reach"),
        cut_height=bar.knife_height(
            settings.cut_height + hung.shoes_down,
            hung.header_angle,
            known.si("knife_lead"),
        ),
    )


def soil_of(coefficients: Coefficients) -> Soil:
    """How the ground meets the bar."""
    known = figures.load()
    return Soil(
        digging_height=coefficients.digging_height,
        soil_load=known.si("soil_load"),
        soil_sink=known.si("soil_sink"),
    )


def ridge_height_of(ground: str) -> Metre:
    """Half height of the row ridges of a class of ground, 0 where it has none."""
    ridge = grounds.load()[ground].ridge_height
    return 0.0 if ridge is None else ridge.si()[1]


def over_ground(
    field: Field,
    machine: Machine,
    settings: Settings,
    coefficients: Coefficients,
    seed: int,
    hung: Hanging = AS_USUAL,
    ridge_height: Metre = 0.0,
    slope_change: Radian = 0.0,
) -> Following:
    """The header over the ground that a seed draws, with row ridges [m] if it has any.

    ``slope_change`` [rad] is by how much the cross slope of the middle third of the way
    differs. Where the knife would run under the ground, it cuts at the ground. Raises
    OutOfRange when an input lies where it cannot be, or the control hunts.
    """
    known, waves = figures.load(), waves_of(field, coefficients)
    mesh = mesh_of(machine, waves)
    ground = ground_profile.surface(waves, mesh, seed)
    if ridge_height > 0.0:
        rows = known.si("ridge_spacing"), known.si("row_angle")
        ground = ground + ground_profile.ridges(mesh, ridge_height, *rows)
    if slope_change != 0.0:
        strip = mesh.travel / 3.0, mesh.travel * 2.0 / 3.0
        ground = ground + ground_profile.slope_break(mesh, slope_change, *strip)
    made = follow(
        ground,
        mesh,
        bar_of(machine, settings, coefficients, hung),
        carriage_of(machine, settings, hung),
        soil_of(coefficients),
        settings.ground_speed,
        ground_profile.crumbs(waves, mesh, seed),
    )
    return replace(made, height=np.maximum(made.height, 0.0))
