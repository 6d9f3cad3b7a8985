"""A bar over a stretch of ground: true cut height and ground force all over it.

The frame of the header answers what its sensors see (``frame_following``). On the
ground the bar lies in its own shape (``bar_shape``), as far up and down from the frame
as its travel lets it, and is thrown off crests that fall away faster than its float
lets it fall. Off the ground, or locked, it goes with the frame.

What is simple on purpose. Each station bounces by itself; the bar's bending spreads the
ground's bumps over it before, not the bounce. A bar in contact lies on the ground's
shape as it would at rest and sinks by its float force alone. Soil gives in proportion
to the force and does not stay pressed. The bar bridges waves shorter than those of the
surface: they are ``crumbs`` between it and the knife. Of force and pushing only the
directions are known, never the size [judgement].

Against small steps through time and a beam of finite elements
(``tests/engine/test_ground_oracle.py``) mean and spread of the cut height agree within
0.2 mm and forces within 3 %. Flights shorter than a step of the way are missed: up to
0.06 of the contact lost, where light wings come off their upper stop.
"""

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from academy.engine import bar_shape, guard
from academy.engine.bar import weight_left
from academy.engine.conditions import Build, Carried, Sensed
from academy.engine.followed_bar import Flags, Following
from academy.engine.frame_following import Answer, followed
from academy.engine.ground_profile import Heights, Mesh
from academy.engine.si import (
    CyclePerMetre,
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    Radian,
    Ratio,
)

# How much of its travel the bar may use: all, half of it, none.
Freedom: TypeAlias = Literal["free", "half", "locked"]
REACH = {"free": 1.0, "half": 0.5, "locked": 0.0}
_TOUCH = 1e-9  # metres within which a bar is on the ground
_LEAD = 10  # the bounce runs in over one part in so many of the stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar, and how it is hung on the frame."""

    build: Build
    freedom: Freedom
    travel: Metre  # full travel, half up and half down; 0 for a bar fixed to the frame
    bar_wavenumber: CyclePerMetre
    wing_share: Ratio  # share of the width that each wing takes
    bar_mass: KilogramPerMetre
    float_force: tuple[NewtonPerMetre, NewtonPerMetre, NewtonPerMetre]
    half_free_weight: Ratio  # share of the weight taken back with half-free travel


@dataclass(frozen=True, slots=True, kw_only=True)
class Carriage:
    """What carries the frame, and how it is set."""

    carried: Carried
    answer: Answer
    sensed: Sensed
    levelled: bool  # tilt follows the ground under the header, else under the wheels
    tilt: Radian  # of the frame against what it follows; above zero the right is high
    track: Metre  # of the combine's front wheels
    reach: Metre  # from the knife back to those wheels
    cut_height: Metre  # of the knife on level ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """How the ground meets the bar."""

    digging_height: Metre  # of the knife at which the guards reach the ground
    soil_load: NewtonPerMetre  # a force of the bar ...
    soil_sink: Metre  # ... and how far it sinks the bar


def _starts(mesh: Mesh, wing_share: Ratio) -> tuple[int, int, int]:
    hinge = float(bar_shape.hinge_place(mesh.width, wing_share))
    left, right = np.searchsorted(mesh.places, [-hinge, hinge])
    return 0, int(left), int(right)


def _weights(mesh: Mesh, bar: Bar) -> Heights:
    """Force of the resting bar on the ground at every station [N/m]."""
    sizes = np.diff([*_starts(mesh, bar.wing_share), mesh.stations])
    weights: Heights = np.repeat(np.asarray(bar.float_force, dtype=np.float64), sizes)
    if bar.freedom == "half":
        weights = np.asarray(weight_left(weights, bar.half_free_weight))
    return weights


def _wheels_tilt(ground: Heights, mesh: Mesh, carriage: Carriage) -> Heights:
    """Tilt [1] of the combine's wheels, which stand on ground passed before."""
    half = float(carriage.track) / 2.0
    left, right = (int(np.abs(mesh.places - at).argmin()) for at in (-half, half))
    apart = mesh.places[right] - mesh.places[left]
    tilt: Heights = (ground[:, right] - ground[:, left]) / apart
    return np.roll(tilt, round(float(carriage.reach) / mesh.along))


def frame_of(ground: Heights, mesh: Mesh, carriage: Carriage) -> Heights:
    """Heights of a straight frame over the ground's datum [m], of the ground's shape.

    A sensor in the middle tells no tilt: the frame stands then as the wheels do.
    """
    seen = bar_shape.laid(bar_shape.sensor(mesh, carriage.sensed), ground)
    height, tilt = followed(carriage.answer, seen, mesh.along).T
    if not carriage.levelled or carriage.sensed == "centre":
        tilt = _wheels_tilt(ground, mesh, carriage)
    tilt = tilt + np.tan(carriage.tilt)
    made: Heights = height[:, None] + tilt[:, None] * mesh.places
    return made


def _winged(
    ground: Heights, mesh: Mesh, bar: Bar, carriage: Carriage, straight: Heights
) -> Heights:
    """Frame off the ground whose wings pivot as their own sensors or wheels say.

    Its corners leave the straight frame by no more than half the travel.
    """
    share = float(bar.wing_share)
    bends = bar_shape.laid(bar_shape.bends(mesh, carriage.sensed, share), ground)
    away = followed(carriage.answer, bends, mesh.along)
    half = float(bar.travel) * REACH[bar.freedom] / 2.0
    hats = bar_shape.corners(mesh, "hinged", share)
    return straight + bar_shape.laid(hats, np.clip(away, -half, half))


def _bend(path: Heights) -> Heights:
    """Second difference that ends at each row of the closed way: what its step took."""
    bend: Heights = path - 2.0 * np.roll(path, 1, 0) + np.roll(path, 2, 0)
    return bend


def flown(path: Heights, ceiling: Heights, fall: Heights) -> Heights:
    """Way of a bar over a path [m]: on it, or flying where it falls away too fast.

    ``fall`` [m] is how far each station falls off a straight line in one step, and in
    ``ceiling`` [m] its upper stop. The bar lands without bouncing back.
    """
    leaves = np.flatnonzero(np.any(_bend(path) < -fall, axis=0))
    if leaves.size == 0:
        return path
    floor, top, fall = path[:, leaves], ceiling[:, leaves], fall[leaves]
    way = floor.copy()
    ahead = np.empty_like(fall)
    for row in range(-max(2, len(path) // _LEAD), len(path)):
        np.subtract(way[row - 1], way[row - 2], out=ahead)
        ahead += way[row - 1]
        ahead -= fall
        np.maximum(ahead, floor[row], out=ahead)
        np.minimum(ahead, top[row], out=way[row])
    bar = path.copy()
    bar[:, leaves] = way
    return bar


@dataclass(frozen=True, slots=True)
class _Laid:
    """The bar over the way: its heights, its force, where it touches, how it sank."""

    bar: Heights
    force: Heights
    touching: Flags
    sunk: Heights


def _reached(
    ground: Heights, frame: Heights, mesh: Mesh, bar: Bar, half: float
) -> tuple[Heights, Heights]:
    """Where the bar would lie, and where half its travel lets it: stiff pieces stay so.

    A bar of stiff pieces meets its stops at their corners, a flexible one anywhere.
    """
    share = float(bar.wing_share)
    if bar.build == "flexible":
        bent = bar_shape.shape(mesh, bar.build, share, float(bar.bar_wavenumber))
        rest = bar_shape.laid(bent, ground)
        return rest, np.minimum(np.maximum(rest, frame - half), frame + half)
    to_corners, hats = bar_shape.jointed(mesh, bar.build, share)
    away = bar_shape.laid(to_corners, ground - frame)
    within = np.clip(away, -half, half)
    return frame + bar_shape.laid(hats, away), frame + bar_shape.laid(hats, within)


def _lying(
    ground: Heights, frame: Heights, mesh: Mesh, bar: Bar, soil: Soil, speed: float
) -> _Laid:
    """A bar that the ground carries within its travel."""
    half = float(bar.travel) * REACH[bar.freedom] / 2.0
    ceiling = frame + half
    rest, path = _reached(ground, frame, mesh, bar, half)
    weights = _weights(mesh, bar)
    step = mesh.along / speed
    way = flown(path, ceiling, weights * (step * step / bar.bar_mass))
    thrown = weights + bar.bar_mass / (step * step) * _bend(way)
    deep = rest - way
    give = soil.soil_load / soil.soil_sink
    force = np.where(deep > _TOUCH, weights + give * deep, np.maximum(thrown, 0.0))
    force[deep < -_TOUCH] = 0.0
    touching = force > 0.0
    return _Laid(way, force, touching, np.where(touching, weights / give, 0.0))


def _carried(ground: Heights, frame: Heights, carriage: Carriage, soil: Soil) -> _Laid:
    """A bar that goes with the frame and meets the ground only where it digs."""
    over = carriage.cut_height + frame - ground - soil.digging_height
    force = np.maximum(-over, 0.0) * (soil.soil_load / soil.soil_sink)
    return _Laid(frame, force, over < 0.0, np.zeros(1))


def _refuse(bar: Bar, carriage: Carriage, soil: Soil, speed: MetrePerSecond) -> None:
    guard.positive("ground_speed", speed)
    guard.not_negative("travel", bar.travel)
    guard.positive("bar_mass", bar.bar_mass)
    for force in bar.float_force:
        guard.not_negative("float_force", force)
    guard.not_negative("cut_height", carriage.cut_height)
    guard.not_negative("reach", carriage.reach)
    guard.positive("track", carriage.track)
    guard.finite("tilt", carriage.tilt)
    guard.positive("soil_load", soil.soil_load)
    guard.positive("soil_sink", soil.soil_sink)


def follow(
    ground: Heights,
    mesh: Mesh,
    bar: Bar,
    carriage: Carriage,
    soil: Soil,
    ground_speed: MetrePerSecond,
    crumbs: Heights | float = 0.0,
) -> Following:
    """A bar over drawn ground of shape (rows, stations), at a speed [m/s].

    ``crumbs`` [m] lie on the ground, too short to move the bar. Raises OutOfRange when
    an input lies where it cannot be.
    """
    _refuse(bar, carriage, soil, ground_speed)
    frame = frame_of(ground, mesh, carriage)
    moves = bar.travel * REACH[bar.freedom] > 0.0
    if carriage.carried == "ground" and moves:
        laid = _lying(ground, frame, mesh, bar, soil, float(ground_speed))
    else:
        if moves and bar.build == "hinged":
            frame = _winged(ground, mesh, bar, carriage, frame)
        laid = _carried(ground, frame, carriage, soil)
    met = ground + crumbs
    height = carriage.cut_height + laid.bar - met - laid.sunk
    return Following(
        mesh=mesh,
        ground=met,
        bar=laid.bar,
        frame=frame,
        height=height,
        force=laid.force,
        touching=laid.touching,
        pushing=height < soil.digging_height,
        starts=_starts(mesh, bar.wing_share),
    )
