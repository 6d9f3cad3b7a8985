"""The stock of scenarios made beforehand, and the child process that fills it."""

import time
from pathlib import Path
from secrets import randbelow

from academy.catalog import coefficients, crops
from academy.catalog.families import known
from academy.engine.version import VERSION
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries import stock
from academy.service.house import House, open_house, seal_log
from academy.service.making import make

PER_FAMILY = 12
_PAUSE = 2.0  # seconds between looks at the shelf
_SEEDS = 2**53  # exact in JSON everywhere


def keep_coefficients(house: House) -> tuple[str, ...]:
    """Store each crop's coefficient set under its digest; the digests in use."""
    digests = []
    with house.db.write() as connection:
        for crop in crops.known():
            known_set = coefficients.load(crop)
            coefficient_rows.keep(connection, known_set.digest, known_set.body)
            digests.append(known_set.digest)
        stock.clear_other_than(connection, VERSION, digests)
        present = {key: f"{key}@{one.version}" for key, one in known().items()}
        stock.clear_rewritten(connection, present)
    return tuple(digests)


def add_one(house: House, family: str) -> None:
    """Make one scenario of a family and put it on the shelf."""
    draft = make(family, randbelow(_SEEDS))
    with house.db.write() as connection:
        stock.add(connection, draft, house.clock())


def refill(house: House, per_family: int = PER_FAMILY) -> int:
    """Bring every family up to ``per_family``; how many were made."""
    with house.db.read() as connection:
        counts = stock.count_by_family(connection)
    made = 0
    for family in known():
        for _ in range(per_family - counts.get(family, 0)):
            add_one(house, family)
            made += 1
    return made


def run_forever(instance: Path | None = None) -> None:
    """Keep shelf and log in order until ended; for the child of ``serve``."""
    house = open_house(instance)
    keep_coefficients(house)
    while True:
        refill(house)
        seal_log(house)
        time.sleep(_PAUSE)
