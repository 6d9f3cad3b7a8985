"""The ground as a surface: heights along and across the way, drawn from a spectrum.

The surface is isotropic: a rod laid on it along the way, across it or askew shows the
same ISO 8608 spectrum. It is a sum of plane waves, each of the height that the spectrum
gives and of a phase drawn evenly, so that every surface has exactly the rms height of
its band; only uniforms of numpy's PCG64 are drawn, so that a seed means the same ground
for ever. It closes on itself along and across: nothing begins or ends in it.

A line cut through the surface sees waves that run askew as longer ones. That is why a
plane density ``G n₀²/(4k³)`` gives the line ``G n₀²/n²``, and why the line's density
falls off (``cut_density``) as its waves near the shortest of the surface.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from academy.engine import guard
from academy.engine.si import CubicMetre, CyclePerMetre, Metre, Radian
from academy.errors import OutOfRange

Heights = NDArray[np.float64]
_NEVER = 2.0**-54  # numpy draws zero, which lies at minus infinity
_KEPT = 8  # meshes whose wave heights are kept ready


@dataclass(frozen=True, slots=True, kw_only=True)
class Waves:
    """The band of waves that a surface holds, and their roughness."""

    ground_roughness: CubicMetre
    reference_wavenumber: CyclePerMetre
    low_wavenumber: CyclePerMetre  # longest waves
    high_wavenumber: CyclePerMetre  # shortest waves


@dataclass(frozen=True, slots=True)
class Mesh:
    """Points of a surface: how many, and how far apart [m], along and across.

    Only the first ``stations`` columns lie under the bar; the rest keeps its two ends
    from meeting.
    """

    rows: int
    columns: int
    stations: int
    along: float
    across: float

    @property
    def travel(self) -> float:
        """Length of the surface [m]."""
        return self.rows * self.along

    @property
    def width(self) -> float:
        """Width under the bar [m]."""
        return self.stations * self.across

    @property
    def places(self) -> Heights:
        """Where the stations stand, from the middle of the bar to the right [m]."""
        found: Heights = np.arange(0.5, self.stations) * self.across
        return found - self.width / 2.0

    @property
    def way(self) -> Heights:
        """Where the rows stand along the way [m]."""
        found: Heights = np.arange(float(self.rows)) * self.along
        return found


def density(
    wavenumber: CyclePerMetre,
    ground_roughness: CubicMetre,
    reference_wavenumber: CyclePerMetre,
) -> CubicMetre:
    """Spectral density of heights along a line on the ground.

    Long waves are high, short ones low: at half the length a wave carries a quarter.

    Parameters
    ----------
    wavenumber : [1/m] waves per metre
    ground_roughness : [m^3] spectral density at the reference wavenumber
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m^3] one-sided density

    Raises
    ------
    OutOfRange : when the roughness is negative, or a wavenumber not above zero

    Notes
    -----
    ``G (n/n₀)⁻²``, waviness 2 [iso-8608]. Measured fields may have another slope
    [paddy-profile].

    Examples
    --------
    >>> round(density(0.2, 0.001024, 0.1), 6)
    0.000256
    """
    guard.positive("wavenumber", wavenumber)
    guard.not_negative("ground_roughness", ground_roughness)
    guard.positive("reference_wavenumber", reference_wavenumber)
    ratio = reference_wavenumber / wavenumber
    return ground_roughness * ratio * ratio


def cut_density(
    wavenumber: CyclePerMetre,
    ground_roughness: CubicMetre,
    reference_wavenumber: CyclePerMetre,
    low_wavenumber: CyclePerMetre,
    high_wavenumber: CyclePerMetre,
) -> CubicMetre:
    """Spectral density along a line on an isotropic surface of banded waves.

    Well inside the band it is that of the standard; near the shortest waves a line
    sees less, because few waves run straight along it.

    Parameters
    ----------
    wavenumber : [1/m] waves per metre of the line
    ground_roughness : [m^3] spectral density at the reference wavenumber
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated
    low_wavenumber : [1/m] longest waves of the surface
    high_wavenumber : [1/m] shortest waves of the surface

    Returns
    -------
    [m^3] one-sided density

    Raises
    ------
    OutOfRange : when a wavenumber is not above zero or over the shortest waves, the
        band is turned round, or the roughness is negative

    Notes
    -----
    The plane density ``A/k³`` between ``k₁`` and ``k₂``, ``A = G n₀²/4``, summed over
    all waves that the line sees as ``n``: ``(G n₀²/n²) [√(1 − n²/k₂²) − √(1 −
    n²/k₁²)]``, the second root only for ``n < k₁``, since ``∫ (n² + m²)^(−3/2) dm = m /
    (n² √(n² + m²))`` [iso-8608] [kinematics].

    Examples
    --------
    >>> round(float(cut_density(0.2, 0.001024, 0.1, 0.05, 2.0)), 6)
    0.000255
    """
    guard.at_least("high_wavenumber", high_wavenumber, wavenumber)
    guard.positive("low_wavenumber", low_wavenumber)
    guard.at_least("high_wavenumber", high_wavenumber, low_wavenumber)
    whole = density(wavenumber, ground_roughness, reference_wavenumber)
    short, long = wavenumber / high_wavenumber, wavenumber / low_wavenumber
    seen = np.sqrt(1.0 - short * short) - np.sqrt(np.maximum(1.0 - long * long, 0.0))
    found: CubicMetre = whole * seen
    return found


def _whole(least: float) -> int:
    """The next whole number made of twos, threes and fives: quick to transform."""
    number = math.ceil(least - 1e-9)
    while True:
        rest = number
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return number
        number += 1


def mesh_of(travel: Metre, width: Metre, step: Metre, waves: Waves) -> Mesh:
    """Points no farther apart than ``step`` [m] across and half of it along the way.

    Along is finer because the bar's bounce is followed there. The surface is twice as
    wide as the bar and no narrower than its longest wave. Raises OutOfRange when a
    length is not above zero, or the step too long to show the shortest waves.
    """
    guard.positive("travel", travel)
    guard.positive("width", width)
    guard.positive("step", step)
    finest = 0.5 / float(waves.high_wavenumber)
    if not step < finest:
        raise OutOfRange("step_too_long", name="step", value=step, most=finest)
    stations = math.ceil(width / step - 1e-9)
    across, rows = float(width / stations), _whole(float(2.0 * travel / step))
    room = max(2.0 * float(width), 1.0 / float(waves.low_wavenumber))
    columns = _whole(room / across)
    return Mesh(rows, columns, stations, float(travel) / rows, across)


@lru_cache(maxsize=_KEPT)
def _wave_heights(waves: Waves, mesh: Mesh) -> Heights:
    """Height of every plane wave, as the half transform of numpy takes it."""
    along = np.fft.fftfreq(mesh.rows, mesh.along)
    across = np.fft.rfftfreq(mesh.columns, mesh.across)
    k = np.hypot(along[:, None], across)
    low, high = waves.low_wavenumber, waves.high_wavenumber
    inside = (k >= low) & (k <= high)
    k[~inside] = 1.0
    scale = waves.ground_roughness * waves.reference_wavenumber**2 / 4.0
    patch = 1.0 / (mesh.travel * mesh.columns * mesh.across)
    points = mesh.rows * mesh.columns
    found: Heights = np.where(inside, points * np.sqrt(scale * patch / k**3), 0.0)
    found.setflags(write=False)
    return found


def surface(waves: Waves, mesh: Mesh, seed: int) -> Heights:
    """Heights [m] of the ground under the bar, of shape (rows, stations).

    The same seed gives the same ground. Raises OutOfRange when roughness is negative or
    the band is turned round.
    """
    guard.not_negative("ground_roughness", waves.ground_roughness)
    guard.positive("low_wavenumber", waves.low_wavenumber)
    guard.at_least("high_wavenumber", waves.high_wavenumber, waves.low_wavenumber)
    heights = _wave_heights(waves, mesh)
    dice = np.random.Generator(np.random.PCG64(seed))
    angle = (2.0 * np.pi) * dice.random(heights.shape)
    pairs = (mesh.rows - 1) // 2  # waves straight along: both halves of each are here
    angle[: -pairs - 1 : -1, 0] = -angle[1 : pairs + 1, 0]
    made = np.empty(heights.shape, dtype=np.complex128)
    made.real, made.imag = heights * np.cos(angle), heights * np.sin(angle)
    lines = np.fft.ifft(made, axis=0)
    ground: Heights = np.fft.irfft(lines, n=mesh.columns, axis=1)[:, : mesh.stations]
    return np.ascontiguousarray(ground)


def crumbs(waves: Waves, mesh: Mesh, seed: int) -> Heights:
    """Heights [m] of all that is shorter than the waves of a surface.

    Clods and footprints, each station's its own. They are normal, with the mean square
    ``π G n₀²/(2k₂)`` that the plane density holds beyond its shortest waves.
    """
    guard.not_negative("ground_roughness", waves.ground_roughness)
    guard.positive("high_wavenumber", waves.high_wavenumber)
    scale = waves.ground_roughness * waves.reference_wavenumber**2
    spread = np.sqrt(0.5 * np.pi * scale / waves.high_wavenumber)
    dice = np.random.Generator(np.random.PCG64([seed, 1]))
    even = dice.random((mesh.rows, mesh.stations))
    found: Heights = spread * ndtri(np.maximum(even, _NEVER))
    return found


def ridges(mesh: Mesh, amplitude: Metre, spacing: Metre, row_angle: Radian) -> Heights:
    """Heights [m] of row ridges, a single line in the spectrum.

    ``amplitude`` [m] is half their height from furrow to crest, ``spacing`` [m] their
    distance, ``row_angle`` [rad] that between the way and the rows; 0 drives along
    them. Along the way they are fitted to a whole number of waves. Raises OutOfRange
    when the amplitude is negative or the spacing not above zero.
    """
    guard.not_negative("amplitude", amplitude)
    guard.positive("spacing", spacing)
    guard.finite("row_angle", row_angle)
    crossed = round(float(mesh.travel * np.sin(row_angle) / spacing))
    along = mesh.way * (crossed / mesh.travel)
    across = mesh.places * (np.cos(row_angle) / spacing)
    found: Heights = amplitude * np.cos(2.0 * np.pi * (along[:, None] + across))
    return found


def slope_break(mesh: Mesh, change: Radian, first: Metre, last: Metre) -> Heights:
    """Heights [m] of a strip whose cross slope differs by ``change`` [rad].

    From ``first`` to ``last`` [m] along the way the ground falls off to one side, as
    behind the edge of a terrace; the middle of the bar stays level. Raises OutOfRange
    when the strip is turned round or a number is none.
    """
    guard.finite("slope_change", change)
    guard.not_negative("first", first)
    guard.at_least("last", last, first)
    strip = (mesh.way >= first) & (mesh.way < last)
    found: Heights = np.where(strip[:, None], mesh.places * np.tan(change), 0.0)
    return found
