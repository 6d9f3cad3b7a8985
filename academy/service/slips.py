"""Drawing a slip: one-time link, PIN and spoken word, shown once and kept as hashes."""

import secrets
from dataclasses import dataclass
from datetime import datetime

from academy.records.connection import Connection
from academy.records.queries import slips
from academy.service import pins, tokens
from academy.service.house import House


@dataclass(frozen=True, slots=True)
class SlipMade:
    """What is printed on a slip; nothing but the word can be shown a second time."""

    person_id: str
    name: str
    token: str
    pin: str
    word: str
    url: str


@dataclass(frozen=True, slots=True)
class DrawnSlip:
    """A slip before it has a person: secrets and their hashes."""

    token: str
    pin: str
    pin_hash: str
    word: str


def draw(house: House, language: str) -> DrawnSlip:
    """Fresh secrets; the slow hash happens here, outside any write."""
    pin = pins.fresh_pin()
    word = secrets.choice(house.catalog.slip_words)
    return DrawnSlip(
        token=tokens.fresh_token(),
        pin=pin,
        pin_hash=pins.pin_hash(pin, house.pepper),
        word=word.es if language == "es" else word.en,
    )


def hand(
    connection: Connection,
    house: House,
    drawn: DrawnSlip,
    person: tuple[str, str],
    now: datetime,
    kind: str = "slip",
) -> SlipMade:
    """Keep a drawn slip for ``person`` (id, name); older unused ones are void."""
    person_id, name = person
    slips.add(
        connection,
        kind=kind,
        person_id=person_id,
        token_hash=tokens.kept(drawn.token),
        pin_hash=drawn.pin_hash,
        word=drawn.word,
        now=now,
    )
    url = f"{house.settings.address}/slip/{drawn.token}"
    return SlipMade(person_id, name, drawn.token, drawn.pin, drawn.word, url)
