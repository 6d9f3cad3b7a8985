"""What a refusal looks like: the error tree of the house mapped to pages."""

from flask import Flask, current_app, redirect, render_template, request
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException
from werkzeug.sansio.response import Response

from academy.errors import (
    AcademyError,
    Conflict,
    ContentError,
    NotAllowed,
    NotFound,
    NotUnderstood,
    OutOfRange,
    Unavailable,
    WrongUnit,
)
from academy.language import gettext, marked, sentence_for
from academy.web import form_page, program_log
from academy.web.visit import reader, settle

STATUS: dict[type[AcademyError], int] = {
    NotFound: 404,
    NotAllowed: 403,
    Conflict: 409,
    OutOfRange: 422,
    NotUnderstood: 422,
    WrongUnit: 422,
    Unavailable: 503,
    ContentError: 500,
}
SHOWN_AGAIN = (NotAllowed, Conflict, OutOfRange, NotUnderstood, WrongUnit)
SENTENCES = {
    400: marked("The browser sent something this page cannot read."),
    404: marked("There is no such page, or it is not yours to see."),
    405: marked("This address does not take that kind of request."),
    413: marked("That is more than one megabyte; this page takes less."),
    500: marked("Something broke on our side. What you answered before is kept."),
}
STALE_FORM = marked(
    "This page had been open since before you signed in or out. Go back, load it "
    "again and send it once more."
)


def _page(sentence: str, status: int) -> tuple[str, int]:
    return render_template("refusal.html", sentence=sentence, status=status), status


def refuse(error: AcademyError) -> tuple[str, int]:
    """The form again with the sentence, else a page that says it."""
    settle()
    status = STATUS.get(type(error), 500)
    program_log.refused(error.key)
    sentence = sentence_for(error, reader())
    page = form_page.kept()
    if page is None or not isinstance(error, SHOWN_AGAIN):
        return _page(sentence, status)
    page.refused.append(sentence)
    return page.show(status)


def refuse_http(error: HTTPException) -> tuple[str, int] | Response:
    """A page for what Flask itself refuses."""
    if error.response is not None:
        return error.response
    settle()
    status = error.code or 500
    if status == 405 and request.method == "GET" and (path := _nearest()):
        return redirect(path, 303)
    text = SENTENCES.get(status, SENTENCES[500 if status >= 500 else 400])
    return _page(gettext(text, reader().language), status)


def _nearest() -> str:
    """The nearest page above an address that only takes a form; empty when none is.

    Who reloads a refused form, or comes back to it, stands there.
    """
    pages, path = current_app.url_map.bind(""), request.path
    while path := path.rpartition("/")[0]:
        try:
            pages.match(path, method="GET")
        except HTTPException:
            continue
        return path
    return ""


def refuse_forged(_error: CSRFError) -> tuple[str, int]:
    """A form whose secret is not this visit's."""
    settle()
    program_log.refused("stale_form")
    return _page(gettext(STALE_FORM, reader().language), 400)


def init_app(app: Flask) -> None:
    """Map the trees."""
    app.register_error_handler(AcademyError, refuse)
    app.register_error_handler(CSRFError, refuse_forged)
    app.register_error_handler(HTTPException, refuse_http)
