"""All tables at once, for migrations and for tests that compare."""

from academy.records.tables import (
    answers,
    assessments,
    beliefs,
    certificates,
    farm,
    labs,
    ledger,
    people,
    scenarios,
    sign_in,
    standard,
    yard,
)
from academy.records.tables.columns import metadata

MODULES = (
    answers,
    assessments,
    beliefs,
    certificates,
    farm,
    labs,
    ledger,
    people,
    scenarios,
    sign_in,
    standard,
    yard,
)
"""The modules whose import fills ``METADATA``."""

METADATA = metadata
