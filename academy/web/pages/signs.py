"""Signs, causes, cures: the trade's list of troubles, open to everyone."""

from flask import Blueprint, render_template

from academy.service import lessons, signs_and_cures
from academy.web.visit import reader

bp = Blueprint("signs", __name__)


@bp.get("/signs")
def show() -> str:
    """Every trouble by topic, with cause, cure, source and what practises it."""
    return render_template(
        "signs.html",
        subjects=signs_and_cures.subjects(reader().language),
        lesson_of=lessons.of_topics(),
    )
