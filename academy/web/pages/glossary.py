"""Words of the trade in both languages."""

from flask import Blueprint, render_template

from academy.catalog import glossary
from academy.language import marked

bp = Blueprint("glossary", __name__)

GROUP_NAMES = {
    "header": marked("The header"),
    "machine": marked("The machine"),
    "work": marked("The work"),
    "safety": marked("Safety"),
    "people": marked("People"),
    "program": marked("This program"),
}
REGION_NAMES = {
    "US": marked("United States"),
    "MX": marked("Mexico"),
    "AR": marked("Argentina"),
    "ES": marked("Spain"),
    "also": marked("also"),
}


@bp.get("/glossary")
def show() -> str:
    """All terms by group."""
    terms = glossary.load()
    groups = [
        (GROUP_NAMES[group], [term for term in terms if term.group == group])
        for group in glossary.GROUPS
    ]
    return render_template("glossary.html", groups=groups, regions=REGION_NAMES)
