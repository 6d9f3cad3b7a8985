"""All tables at once, for migrations and for tests that compare."""

from academy.records.tables import (
    answers,
    beliefs,
    farm,
    labs,
    people,
    scenarios,
    sign_in,
)
from academy.records.tables.columns import metadata

MODULES = (answers, beliefs, farm, labs, people, scenarios, sign_in)
"""The modules whose import fills ``METADATA``."""

METADATA = metadata
