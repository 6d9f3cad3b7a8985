"""Choosing language and units, for people and for visitors."""

from flask import Blueprint, redirect, request
from werkzeug.wrappers import Response

from academy.service import signing, written
from academy.web.visit import READER, house, leave_reader, local_path, visit

bp = Blueprint("reader", __name__)


@bp.post("/reader")
def choose() -> Response:
    """Keep the choice with the person, else in the browser, and go back."""
    language = written.choice(
        request.form.get("language", ""), written.LANGUAGES, "language"
    )
    units = written.choice(request.form.get("units", ""), written.UNITS, "units")
    viewer = visit().viewer
    if viewer:
        signing.set_reader(house(), viewer, language, units)
        leave_reader(language, units)
    else:
        visit().remember(READER, f"{language}.{units}")
    return redirect(local_path(request.form.get("back")) or "/", code=303)
