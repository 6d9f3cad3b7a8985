"""Area and material a machine gets through, and the power that takes."""

from academy.engine import guard
from academy.engine.si import (
    JoulePerKilogram,
    KilogramPerSecond,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    Ratio,
    Second,
    SquareMetre,
    SquareMetrePerSecond,
    Watt,
)


def theoretical_area_rate(
    width: Metre, ground_speed: MetrePerSecond
) -> SquareMetrePerSecond:
    """Area cut in unit time with the full width and without a stop.

    What the display shows while the header is full and the machine rolls.

    Parameters
    ----------
    width : [m] width of crop cut
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [m^2/s] theoretical area rate

    Raises
    ------
    OutOfRange : when width or speed is negative

    Notes
    -----
    ``v W`` [iowa-pm696].

    Examples
    --------
    >>> theoretical_area_rate(10.0, 2.0)
    20.0
    """
    guard.not_negative("width", width)
    guard.not_negative("ground_speed", ground_speed)
    return width * ground_speed


def field_capacity(
    width: Metre, ground_speed: MetrePerSecond, field_efficiency: Ratio
) -> SquareMetrePerSecond:
    """Area finished in unit time, turns, overlap and unloading counted in.

    The hectares or acres that the day really brings; the display shows less than the
    width and speed promise.

    Parameters
    ----------
    width : [m] width of crop cut
    ground_speed : [m/s] speed of the machine over the ground
    field_efficiency : [1] share of the theoretical rate that is reached

    Returns
    -------
    [m^2/s] effective area rate

    Raises
    ------
    OutOfRange : when width or speed is negative, or the efficiency is no fraction

    Notes
    -----
    ``v W e`` [iowa-pm696] [asabe-d497].

    Examples
    --------
    >>> field_capacity(10.0, 2.0, 0.75)
    15.0
    """
    guard.fraction("field_efficiency", field_efficiency)
    return theoretical_area_rate(width, ground_speed) * field_efficiency


def material_rate(
    area_rate: SquareMetrePerSecond, mass_per_area: KilogramPerSquareMetre
) -> KilogramPerSecond:
    """Material handled in unit time.

    Grain into the tank when the yield is given, all crop when all mass is given.

    Parameters
    ----------
    area_rate : [m^2/s] area cut or finished in unit time
    mass_per_area : [kg/m^2] grain or crop per field area

    Returns
    -------
    [kg/s] material rate

    Raises
    ------
    OutOfRange : when rate or mass is negative

    Notes
    -----
    ``C Y`` [mass-balance]. With the effective area rate it is the mean over the day;
    with the theoretical one it is what the machine feels while it cuts.

    Examples
    --------
    >>> material_rate(20.0, 0.25)
    5.0
    """
    guard.not_negative("area_rate", area_rate)
    guard.not_negative("mass_per_area", mass_per_area)
    return area_rate * mass_per_area


def work_time(area: SquareMetre, area_rate: SquareMetrePerSecond) -> Second:
    """Time to finish an area.

    When the field will be done, if nothing stops the machine.

    Parameters
    ----------
    area : [m^2] area to finish
    area_rate : [m^2/s] area finished in unit time

    Returns
    -------
    [s] time needed

    Raises
    ------
    OutOfRange : when the area is negative, or the rate is not above zero

    Notes
    -----
    ``A/C`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> work_time(100.0, 20.0)
    5.0
    """
    guard.not_negative("area", area)
    guard.positive("area_rate", area_rate)
    return area / area_rate


def rotary_power(
    base_power: Watt, energy_per_mog: JoulePerKilogram, mog_feedrate: KilogramPerSecond
) -> Watt:
    """Power the machine draws to thresh, separate and clean.

    Driving itself and the header comes on top.

    Parameters
    ----------
    base_power : [W] power of the empty running machine
    energy_per_mog : [J/kg] work per mass of material other than grain
    mog_feedrate : [kg/s] feedrate of material other than grain

    Returns
    -------
    [W] rotary power

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``P = a + c F`` [asabe-d497]; the coefficients of the combine row are recalled, with
    a range of half either way [memory].

    Examples
    --------
    >>> rotary_power(20000.0, 13000.0, 5.0)
    85000.0
    """
    guard.not_negative("base_power", base_power)
    guard.not_negative("energy_per_mog", energy_per_mog)
    guard.not_negative("mog_feedrate", mog_feedrate)
    return base_power + energy_per_mog * mog_feedrate


def engine_load(power_needed: Watt, engine_power: Watt) -> Ratio:
    """Share of the engine's power that the work takes.

    Above 1 the engine loses speed, and with it every drive of machine and header.

    Parameters
    ----------
    power_needed : [W] power drawn by all work together
    engine_power : [W] power the engine can give

    Returns
    -------
    [1] engine load

    Raises
    ------
    OutOfRange : when the need is negative, or the engine's power is not above zero

    Notes
    -----
    ``P/P₀``, a definition [mass-balance].

    Examples
    --------
    >>> engine_load(150000.0, 200000.0)
    0.75
    """
    guard.not_negative("power_needed", power_needed)
    guard.positive("engine_power", engine_power)
    return power_needed / engine_power
