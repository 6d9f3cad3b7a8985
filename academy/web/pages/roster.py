"""The roster as a file: out, a sample, and in by way of a look ahead.

A file sent in changes nothing: the answer shows what it would do, and carries the file
along in the form that does it. Names are kept nowhere meanwhile.
"""

import base64
import binascii

from flask import Blueprint, Response, request
from werkzeug.wrappers import Response as AnyResponse

from academy.errors import NotUnderstood
from academy.exchange.roster_csv import MOST_BYTES, MOST_ROWS
from academy.language import gettext, marked, sentence_for
from academy.service import roster, viewer
from academy.service.roster import Ahead
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import RosterForm
from academy.web.visit import go, house, now, person, reader

bp = Blueprint("roster", __name__, url_prefix="/crew")

FILE_NAME = marked("roster.csv")
SAMPLE_NAME = marked("roster-sample.csv")
MOST_PROBLEMS = 50


def _upload() -> FormPage:
    viewer.require_owner(person())
    return form_page.keep(
        "roster.html", RosterForm(), problems=[], more=0, most=MOST_ROWS
    )


def _preview(data: bytes, ahead: Ahead) -> FormPage:
    return form_page.keep(
        "roster_ahead.html",
        RosterForm(),
        ahead=ahead,
        file=base64.b64encode(data).decode(),
    )


def _download(data: bytes, name: str) -> Response:
    response = Response(data, mimetype="text/csv")
    file = gettext(name, reader().language)
    response.headers["Content-Disposition"] = f'attachment; filename="{file}"'
    return response


def _sent() -> bytes:
    """The file as it was sent, a byte more than allowed at most."""
    sent = request.files.get("file")
    data = sent.stream.read(MOST_BYTES + 1) if sent else b""
    if not data:
        raise NotUnderstood("roster_no_file")
    return data


def _carried() -> bytes:
    try:
        return base64.b64decode(request.form.get("file", ""), validate=True)
    except (binascii.Error, ValueError):
        raise NotUnderstood("roster_not_text") from None


@bp.get("/roster")
def show() -> tuple[str, int]:
    """How a roster file looks, and the way in for one."""
    return _upload().show()


@bp.post("/roster")
def look() -> tuple[str, int]:
    """What the file would do; its problems row by row when it can do nothing."""
    page = _upload()
    data = _sent()
    ahead = roster.look_ahead(house(), person(), data)
    if not ahead.problems:
        return _preview(data, ahead).show()
    sentences = [sentence_for(one, reader()) for one in ahead.problems]
    page.context["problems"] = sentences[:MOST_PROBLEMS]
    page.context["more"] = len(sentences[MOST_PROBLEMS:])
    return page.again()


@bp.post("/roster/keep")
def keep() -> AnyResponse:
    """Do what was shown."""
    _upload()
    data = _carried()
    _preview(data, roster.look_ahead(house(), person(), data))
    said = request.form.get("digest", "")
    added, changed = roster.take_in(house(), person(), data, said, now())
    return go("crew.show", added=added, changed=changed)


@bp.get("/roster.csv")
def out() -> Response:
    """The roster as it stands."""
    return _download(roster.file_out(house(), person()), FILE_NAME)


@bp.get("/roster-sample.csv")
def sample() -> Response:
    """A file to write over, in the reader's language."""
    viewer.require_owner(person())
    crew = roster.own_crew(house(), person())
    return _download(roster.sample(reader().language, crew), SAMPLE_NAME)
