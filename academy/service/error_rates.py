"""The error rates that are shown: the newest run, shipped or this installation's."""

import hashlib
import json
from datetime import date
from pathlib import Path
from typing import Any

from academy import paths
from academy.catalog import blueprints, error_rates
from academy.catalog.error_rates import FILE, Run
from academy.engine.version import VERSION
from academy.errors import AcademyError
from academy.service.certification_run import Plan

_ASKED = ("questions", "situations", "procedures", "directions", "faults", "blueprints")


def bank() -> str:
    """Digest of all that assessments ask from: twelve hexadecimal digits."""
    found = hashlib.sha256()
    for folder in _ASKED:
        for path in sorted((paths.content() / folder).glob("*.toml")):
            found.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()[:12]


def document(
    plan: Plan, figures: list[dict[str, Any]], day: date, asked_from: str
) -> dict[str, Any]:
    """A run as one document of plain data; ``asked_from`` is the digest of its bank."""
    return {
        "day": day.isoformat(),
        "people": plan.people,
        "seed": plan.seed,
        "draws": plan.draws,
        "engine": VERSION,
        "bank": asked_from,
        "certificates": figures,
    }


def keep(instance: Path, told: dict[str, Any]) -> bool:
    """Keep a run in the instance folder; whether it was of every certificate."""
    if {one["key"] for one in told["certificates"]} != set(blueprints.known()):
        return False
    text = json.dumps(told, ensure_ascii=False, indent=1)
    unfinished = instance / f"{FILE}.part"
    unfinished.write_text(text + "\n", encoding="utf-8")
    unfinished.replace(instance / FILE)
    return True


def newest(instance: Path) -> Run | None:
    """The newest run there is; a file that cannot be read counts as none."""
    found = []
    for path in (paths.content() / FILE, instance / FILE):
        try:
            found.append(error_rates.read(path))
        except AcademyError:
            continue
    return max(found, key=lambda run: run.day, default=None)
