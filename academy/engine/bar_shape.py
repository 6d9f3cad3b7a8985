"""The shape that a bar takes on the ground across the width, by its build.

Every shape is one matrix: what the bar makes of the ground's heights at its stations.
A rigid bar lays the best straight line, one in three hinged sections the best line
broken at two hinges, and a flexible bar bends as a beam with free ends that lies on
something that gives.
"""

from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.engine.conditions import Build, Sensed
from academy.engine.ground_profile import Mesh
from academy.engine.si import CyclePerMetre, Metre, Ratio

Matrix: TypeAlias = NDArray[np.float64]
_KEPT = 16


def wave_taken(wavenumber: CyclePerMetre, bar_wavenumber: CyclePerMetre) -> Ratio:
    """Share of the height of a wave across that a long flexible bar bends into.

    Long waves are taken whole; at the bar's own wave half the height is left over.

    Parameters
    ----------
    wavenumber : [1/m] waves per metre across
    bar_wavenumber : [1/m] shortest waves that the bar can follow

    Returns
    -------
    [1] share, from 1 for long waves to 0 for short ones

    Raises
    ------
    OutOfRange : when a wavenumber is negative, or the bar's is not above zero

    Notes
    -----
    A beam of stiffness ``EI`` on ground that gives ``k`` per length takes ``1/(1 +
    EI(2πn)⁴/k)``; the bar's wavenumber stands for ``(k/EI)^¼/2π`` [kinematics].

    Examples
    --------
    >>> round(wave_taken(0.5, 1.0), 4)
    0.9412
    """
    guard.not_negative("wavenumber", wavenumber)
    guard.positive("bar_wavenumber", bar_wavenumber)
    ratio = wavenumber / bar_wavenumber
    return 1.0 / (1.0 + ratio**4)


def hinge_place(width: Metre, wing_share: Ratio) -> Metre:
    """Distance of each hinge from the middle of a bar in three sections.

    Parameters
    ----------
    width : [m] width of the bar
    wing_share : [1] share of the width that each wing takes

    Returns
    -------
    [m] distance

    Raises
    ------
    OutOfRange : when the width is not above zero, or the share over one half

    Notes
    -----
    ``(½ − s) W`` [kinematics].

    Examples
    --------
    >>> hinge_place(12.0, 0.25)
    3.0
    """
    guard.positive("width", width)
    guard.fraction("wing_share", wing_share)
    guard.at_least("middle_share", 1.0 - 2.0 * wing_share, 0.0)
    return (0.5 - wing_share) * width


def _solved(left: Matrix, right: Matrix) -> Matrix:
    return np.asarray(np.linalg.solve(left, right), dtype=np.float64)


def _line(places: Matrix) -> Matrix:
    return np.column_stack((np.ones_like(places), places))


def _beam(mesh: Mesh, bar_wavenumber: float) -> Matrix:
    """Beam with free ends: what it bends and what it presses are least together.

    Between stations it is a cubic, so that its bending is that of a natural spline.
    """
    level = np.eye(mesh.stations)
    bend = np.diff(level, 2, axis=0) / mesh.across**2
    inner = np.eye(mesh.stations - 2)
    spline = inner * (2.0 / 3.0) + (np.roll(inner, 1, 0) + np.roll(inner, -1, 0)) / 6.0
    spline[[0, -1], [-1, 0]] = 0.0
    bending = bend.T @ _solved(spline, bend)
    stiffness = (2.0 * np.pi * bar_wavenumber) ** -4
    return _solved(level + stiffness * bending, level)


def corners(mesh: Mesh, build: Build, wing_share: float) -> Matrix:
    """Shape of a jointed bar for each of its corners lifted by one, the others down.

    Of shape (stations, corners); the corners are its ends and, from left to right
    between them, its hinges.
    """
    hinge, end = float(hinge_place(mesh.width, wing_share)), mesh.width / 2.0
    at = [-end, -hinge, hinge, end] if build == "hinged" else [-end, end]
    hats = [np.interp(mesh.places, at, one) for one in np.eye(len(at))]
    return np.column_stack(hats)


@lru_cache(maxsize=_KEPT)
def jointed(mesh: Mesh, build: Build, wing_share: float) -> tuple[Matrix, Matrix]:
    """Matrices from heights of the ground to the corners of a bar on it, and back.

    Of shapes (corners, stations) and (stations, corners).
    """
    hats = corners(mesh, build, wing_share)
    found = _solved(hats.T @ hats, hats.T)
    for each in (found, hats):
        each.setflags(write=False)
    return found, hats


@lru_cache(maxsize=_KEPT)
def shape(mesh: Mesh, build: Build, wing_share: float, bar_wavenumber: float) -> Matrix:
    """Matrix that turns heights of the ground into heights of a bar that lies on it.

    Of shape (stations, stations), to be multiplied from the left. Raises OutOfRange
    when the wing's share or the bar's wavenumber lies where it cannot be.
    """
    guard.positive("bar_wavenumber", bar_wavenumber)
    if build == "flexible":
        found = _beam(mesh, bar_wavenumber)
    else:
        to_corners, hats = jointed(mesh, build, wing_share)
        found = hats @ to_corners
    found.setflags(write=False)
    return found


@lru_cache(maxsize=_KEPT)
def sensor(mesh: Mesh, sensed: Sensed) -> Matrix:
    """Matrix from heights of the ground to the mean height [m] and tilt [1] sensed.

    Of shape (2, stations).
    """
    found = np.zeros((2, mesh.stations))
    if sensed == "whole":
        line = _line(mesh.places)
        found = _solved(line.T @ line, line.T)
    elif sensed == "ends":
        apart = mesh.places[-1] - mesh.places[0]
        found[0, [0, -1]] = 0.5
        found[1, [0, -1]] = -1.0 / apart, 1.0 / apart
    else:
        found[0, [(mesh.stations - 1) // 2, mesh.stations // 2]] += 0.5
    found.setflags(write=False)
    return found


@lru_cache(maxsize=_KEPT)
def bends(mesh: Mesh, sensed: Sensed, wing_share: float) -> Matrix:
    """Matrix from heights of the ground to how far a hinged frame bends off a line.

    Of shape (4, stations): heights of its corners over the line of ``sensor``, told by
    sensors all along each section or at its ends. From a single one in the middle the
    wings hear nothing.
    """
    hinge, end = float(hinge_place(mesh.width, wing_share)), mesh.width / 2.0
    at = np.array([-end, -hinge, hinge, end])
    if sensed == "whole":
        told = jointed(mesh, "hinged", wing_share)[0]
    else:
        near = np.abs(mesh.places[:, None] - at).argmin(axis=0)
        hats = corners(mesh, "hinged", wing_share)
        told = np.zeros((4, mesh.stations))
        told[:, near] = _solved(hats[near], np.eye(4))
    found = told - _line(at) @ sensor(mesh, sensed)
    if sensed == "centre":
        found = np.zeros_like(told)
    found.setflags(write=False)
    return found


def laid(matrix: Matrix, ground: Matrix) -> Matrix:
    """What a matrix makes of every row of heights.

    Summed by numpy itself: a linear algebra library would start threads for it, which
    on a busy machine cost more than they bring, and order its sums as it likes.
    """
    found: Matrix = np.einsum("xi,ji->xj", ground, matrix)
    return found
