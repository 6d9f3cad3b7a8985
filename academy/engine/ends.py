"""Short or long dividers at the ends of the header, against the crop they part.

Crop that is tall and tangled, or lodged, has to be parted ahead of the knife: a short
divider pushes it over. Low, upright crop parts by itself: a long one runs it down. In
between it is a matter of taste, and this module says so.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from academy.engine import divider, guard
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine
from academy.engine.si import Metre, Ratio
from academy.engine.stand import Stand

# Whichever suits the crop, or one kind whatever the crop.
Dividers: TypeAlias = Literal["suited", "short", "long"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EndsState:
    """What is fitted at both ends."""

    dividers: Dividers


@dataclass(frozen=True, slots=True, kw_only=True)
class EndsCoefficients:
    """What is believed of dividers; sizes are judged, only directions are known."""

    tall_crop: Metre
    short_push: Ratio  # added by short ones where all crop has to be parted
    long_left: Ratio  # share of it that long ones leave
    long_knock: Ratio  # added by long ones in very low, upright, brittle crop
    spring_back: Ratio  # share of that which tough stems spare
    clear_difference: Ratio  # between one kind's loss and the other's


class EndsEffect(NamedTuple):
    """What the dividers change, and what one reads of them."""

    divider_factor: Ratio  # on the run's divider share; 1 for what suits the crop
    divider_share: Ratio  # of the standing crop, in place of the run's
    width_lost: Metre  # width of crop lost at each end
    parting: Ratio  # share of the crop that has to be parted
    clear_choice: Ratio  # 1 long ones, −1 short ones, 0 no clear difference


def tallness(crop_height: Metre, tall_crop: Metre) -> Ratio:
    """How tall a crop is for a divider, from low to tall.

    Parameters
    ----------
    crop_height : [m] top of the crop as it stands
    tall_crop : [m] height that is half way between low and tall

    Returns
    -------
    [1] from 0, on the ground, towards 1

    Raises
    ------
    OutOfRange : when the crop's height is negative, or the other not above zero

    Notes
    -----
    ``h²/(h² + h₀²)``, the simplest rise from 0 to 1 [judgement].

    Examples
    --------
    >>> tallness(0.6, 0.6)
    0.5
    """
    guard.not_negative("crop_height", crop_height)
    guard.positive("tall_crop", tall_crop)
    square = crop_height * crop_height
    return square / (square + tall_crop * tall_crop)


def parting_need(tangling: Ratio, lodging: Ratio, tall: Ratio) -> Ratio:
    """Share of the crop at an end that does not part by itself.

    Tangled plants hang on to their neighbours, the more the taller they are; lodged
    ones lie across the end.

    Parameters
    ----------
    tangling : [1] share of the plants knit into their neighbours
    lodging : [1] share of the crop that lies down
    tall : [1] how tall the crop is for a divider

    Returns
    -------
    [1] share, 0 in standing crop without tangles

    Raises
    ------
    OutOfRange : when an input is no fraction

    Notes
    -----
    ``1 − (1 − ℓ)(1 − t τ)``: either is enough [judgement].

    Examples
    --------
    >>> parting_need(0.5, 0.0, 0.5), parting_need(0.0, 1.0, 0.0)
    (0.25, 1.0)
    """
    guard.fraction("tangling", tangling)
    guard.fraction("lodging", lodging)
    guard.fraction("tallness", tall)
    return 1.0 - (1.0 - lodging) * (1.0 - tall * tangling)


def short_factor(parting: Ratio, short_push: Ratio) -> Ratio:
    """Loss at short dividers over the ordinary loss at the ends.

    Parameters
    ----------
    parting : [1] share of the crop that does not part by itself
    short_push : [1] what they add where all of it has to be parted

    Returns
    -------
    [1] factor, 1 where crop parts by itself

    Raises
    ------
    OutOfRange : when the share is no fraction, or what they add is negative

    Notes
    -----
    ``1 + a p``; only that it rises is known, by practice [common-practice], the size is
    [judgement].

    Examples
    --------
    >>> short_factor(0.5, 3.0)
    2.5
    """
    guard.fraction("parting", parting)
    guard.not_negative("short_push", short_push)
    return 1.0 + short_push * parting


def long_factor(
    parting: Ratio, tall: Ratio, toughness: Ratio, c: EndsCoefficients
) -> Ratio:
    """Loss at long dividers over the ordinary loss at the ends.

    They part what has to be parted, and run down what is low, upright and brittle.

    Parameters
    ----------
    parting : [1] share of the crop that does not part by itself
    tall : [1] how tall the crop is for a divider
    toughness : [1] how tough the stems are, from brittle to tough
    c : what is believed of dividers

    Returns
    -------
    [1] factor, at least 1

    Raises
    ------
    OutOfRange : when a share is no fraction, or what they add is negative

    Notes
    -----
    ``1 + a k p + b (1 − p)(1 − t)(1 − s θ)``; only the directions are known, by
    practice [common-practice], sizes are [judgement].

    Examples
    --------
    >>> believed = EndsCoefficients(
    ...     tall_crop=0.6, short_push=3.0, long_left=0.3, long_knock=1.0,
    ...     spring_back=0.5, clear_difference=1.5,
    ... )
    >>> round(long_factor(0.0, 0.5, 0.0, believed), 3)
    1.5
    """
    guard.fraction("parting", parting)
    guard.fraction("tallness", tall)
    guard.fraction("toughness", toughness)
    guard.fraction("long_left", c.long_left)
    guard.not_negative("long_knock", c.long_knock)
    guard.fraction("spring_back", c.spring_back)
    run_down = (1.0 - parting) * (1.0 - tall) * (1.0 - c.spring_back * toughness)
    parted = short_factor(parting, c.long_left * c.short_push)
    return parted + c.long_knock * run_down


def clear_choice(short: Ratio, long: Ratio, clear_difference: Ratio) -> Ratio:
    """Which dividers lose clearly less: long, short, or neither.

    Parameters
    ----------
    short : [1] loss at short ones over the ordinary loss
    long : [1] loss at long ones over the ordinary loss
    clear_difference : [1] how many times as much the wrong ones must lose

    Returns
    -------
    [1] 1 for long ones, −1 for short ones, 0 where it is a matter of taste

    Raises
    ------
    OutOfRange : when a loss is not above zero, or the difference is below 1

    Notes
    -----
    The sign of ``ln(f_s/f_l)`` where its size passes ``ln d`` [judgement].

    Examples
    --------
    >>> [float(clear_choice(f, 1.0, 1.5)) for f in (2.0, 1.2, 0.5)]
    [1.0, 0.0, -1.0]
    """
    guard.positive("short_factor", short)
    guard.positive("long_factor", long)
    guard.at_least("clear_difference", clear_difference, 1.0)
    sign: Ratio = np.where(
        short > clear_difference * long,
        1.0,
        np.where(long > clear_difference * short, -1.0, 0.0),
    )
    return sign


def ends_effect(
    *,
    field: Field,
    machine: Machine,
    stand: Stand,
    toughness: Ratio,
    believed: Coefficients,
    state: EndsState,
    c: EndsCoefficients,
) -> EndsEffect:
    """What the dividers change; the run's own share is that of those that suit.

    Raises OutOfRange when an input lies where it cannot be.
    """
    tall = tallness(field.crop_height, c.tall_crop)
    parting = parting_need(stand.tangling, field.lodging, tall)
    short = short_factor(parting, c.short_push)
    long = long_factor(parting, tall, toughness, c)
    suited: Ratio = np.minimum(short, long)
    fitted = {"suited": suited, "short": short, "long": long}[state.dividers]
    factor = fitted / suited
    ordinary = divider.divider_share(
        believed.divider_share, believed.divider_width, machine.width
    )
    share = ordinary * factor
    guard.fraction("divider_share", share)
    return EndsEffect(
        divider_factor=factor,
        divider_share=share,
        width_lost=share * machine.width / 2.0,
        parting=parting,
        clear_choice=clear_choice(short, long, c.clear_difference),
    )
