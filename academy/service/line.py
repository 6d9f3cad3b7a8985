"""The line that assessments are judged by: a model's, until raters have moved it.

A version of the line holds, family by family, the score that raters expect of a
just-qualified person. An assessment keeps the version it was released under; nothing
ever reaches back.
"""

from academy.catalog import blueprints, competence
from academy.competence.line_setting import moved
from academy.records.connection import Connection
from academy.records.queries import scenarios, standard
from academy.records.queries.assessments import Assessment


def current(connection: Connection) -> int | None:
    """The version that an assessment released now is judged by; None for a model's."""
    found = standard.newest(connection)
    return None if found is None else found.version


def model_set(connection: Connection, certificate: str | None = None) -> bool:
    """Whether a model sets the line now: of one certificate, or of any at all.

    Raters set a certificate's line once they rated every family it can ask.
    """
    found = standard.newest(connection)
    if found is None:
        return True
    keys = blueprints.known() if certificate is None else [certificate]
    rated = set(found.body["families"])
    return any(not _families(key) <= rated for key in keys)


def model_judged(connection: Connection, row: Assessment) -> bool:
    """Whether a model set the line of this assessment, at least of one question."""
    if row.line is None:
        return True
    found = standard.version(connection, row.line)
    rated = set(found.body["families"]) if found else set()
    return not standard.families_asked(connection, row.id) <= rated


def move_pars(connection: Connection, scenario_id: str, line: int | None) -> None:
    """Move the pars of a scenario that was just issued to a version of the line.

    Call it in the write that issued the scenario. Its parts move by one common number
    of logits, so that their mean is what the raters expect. A family that they did not
    rate, and every family while a model sets the line, stays as it is.
    """
    found = None if line is None else standard.version(connection, line)
    if found is None:
        return
    told = found.body["families"].get(standard.family_of(connection, scenario_id))
    if told is None:
        return
    parts = scenarios.parts(connection, scenario_id)
    pars = moved(
        [part.par for part in parts],
        [part.floor for part in parts],
        told["expected"],
        competence.load(),
    )
    standard.move_pars(connection, scenario_id, pars)


def _families(certificate: str) -> set[str]:
    blueprint = blueprints.load(certificate)
    return {
        family
        for topic in blueprint.weights
        for family in blueprints.families_for(blueprint, topic)
    }
