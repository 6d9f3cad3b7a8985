"""Certificates for those inside: who lacks what, giving, taking back, the files."""

from flask import Blueprint, Response, request
from werkzeug.wrappers import Response as AnyResponse

from academy.language import gettext, marked
from academy.service import certificate_lists, certificates
from academy.service.certificate_lists import PersonRow
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.certificates import GiveForm, RevokeForm
from academy.web.visit import go, house, now, person, reader

bp = Blueprint("certificates", __name__)

JSON_LD = "application/ld+json"
FILE_NAME = marked("certificate")
STATES = {
    "valid": marked("valid"),
    "expired": marked("expired"),
    "revoked": marked("taken back"),
    "doubt": marked("in doubt"),
}
SHAPES = {
    "valid": "ready",
    "expired": "not-yet",
    "revoked": "untested",
    "doubt": "refresh",
}
ASSESSED = {
    "passed": marked("passed"),
    "none": marked("not taken yet"),
    "failed": marked("not passed"),
    "disputed": marked("an appeal waits for its answer"),
    "unsettled": marked("a dangerous mistake must first be put right"),
    "old-rules": marked("taken under older rules"),
    "faded": marked("no longer shows enough"),
}
IN_THE_YARD = {
    "done": marked("done"),
    "none": marked("not done yet"),
    "not-yet": marked("not yet right"),
    "old": marked("too long ago"),
}
WORDS: dict[str, object] = {
    "states": STATES,
    "shapes": SHAPES,
    "assessed": ASSESSED,
    "in_the_yard": IN_THE_YARD,
}


def _page(row: PersonRow, sent: object = None) -> FormPage:
    form = RevokeForm(sent) if sent is not None else GiveForm(None)
    give = GiveForm(None, data={"language": row.language})
    return form_page.keep(
        "certificates_of.html",
        form,
        row=row,
        give=give,
        own=row.person_id == person().person_id,
        asked=request.form.get("certificate", ""),
        **WORDS,
    )


@bp.get("/certificates")
def crew() -> tuple[str, int]:
    """Everybody the viewer looks after, and who lacks what."""
    rows = certificate_lists.crew(house(), person(), now())
    page = form_page.keep("certificates.html", GiveForm(None), rows=rows, **WORDS)
    return page.show()


@bp.get("/card/certificates")
def own() -> tuple[str, int]:
    """One's own certificates."""
    return _page(certificate_lists.own(house(), person(), now())).show()


@bp.get("/people/<person_id>/certificates")
def of(person_id: str) -> tuple[str, int]:
    """The certificates of one person."""
    row = certificate_lists.of_person(house(), person(), person_id, now())
    return _page(row).show()


@bp.post("/people/<person_id>/certificates")
def give(person_id: str) -> AnyResponse:
    """Give one."""
    _page(certificate_lists.of_person(house(), person(), person_id, now()))
    certificates.issue(
        house(),
        person(),
        person_id,
        request.form.get("key", ""),
        request.form.get("language", ""),
        now(),
    )
    return go("certificates.of", person_id=person_id)


@bp.post("/people/<person_id>/certificates/revoke")
def revoke(person_id: str) -> AnyResponse:
    """Take one back."""
    row = certificate_lists.of_person(house(), person(), person_id, now())
    _page(row, request.form)
    certificates.revoke(
        house(),
        person(),
        request.form.get("certificate", ""),
        request.form.get("reason", ""),
        now(),
    )
    return go("certificates.of", person_id=person_id)


@bp.get("/certificates/<certificate_id>.pdf")
def pdf(certificate_id: str) -> Response:
    """A certificate on paper."""
    data = certificates.as_pdf(house(), person(), certificate_id)
    return _file(data, "application/pdf", certificate_id, "pdf")


@bp.get("/certificates/<certificate_id>.json")
def file(certificate_id: str) -> Response:
    """The signed digital file, byte by byte as it was issued."""
    data = certificates.as_file(house(), person(), certificate_id)
    return _file(data, JSON_LD, certificate_id, "json")


def _file(data: bytes, kind: str, certificate_id: str, ending: str) -> Response:
    response = Response(data, mimetype=kind)
    name = f"{gettext(FILE_NAME, reader().language)}-{certificate_id[:8]}.{ending}"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
