"""Checks of what people write into forms of names and choices."""

from collections.abc import Container, Iterable
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from academy.errors import NotUnderstood, OutOfRange

LANGUAGES = ("en", "es")
UNITS = ("us", "metric")
ROLES = ("hire", "lead", "instructor", "owner")
LONGEST_NAME = 120


def name(written: str, field: str) -> str:
    """A name without needless spaces; raises NotUnderstood, OutOfRange."""
    tidy = " ".join(written.split())
    if not tidy or not tidy.isprintable():
        raise NotUnderstood("name_needed", name=field)
    if len(tidy) > LONGEST_NAME:
        raise OutOfRange("name_too_long", name=field, most=LONGEST_NAME)
    return tidy


def choice(written: str, choices: Container[str], field: str) -> str:
    """One of the offered choices; raises NotUnderstood."""
    if written not in choices:
        raise NotUnderstood("not_a_choice", name=field, value=written)
    return written


def roles(written: Iterable[str]) -> frozenset[str]:
    """One or more roles; raises NotUnderstood."""
    chosen = frozenset(written)
    if not chosen:
        raise NotUnderstood("role_needed")
    for role in sorted(chosen):
        choice(role, ROLES, "role")
    return chosen


def zone(written: str) -> str:
    """The name of a time zone; raises NotUnderstood."""
    try:
        ZoneInfo(written)
    except (ZoneInfoNotFoundError, ValueError, OSError) as found:
        raise NotUnderstood("zone_not_known", value=written) from found
    return written


def currency(written: str) -> str:
    """A currency as its three-letter code; raises NotUnderstood."""
    code = written.strip().upper()
    if len(code) != 3 or not (code.isascii() and code.isalpha()):
        raise NotUnderstood("currency_not_known", value=written)
    return code
