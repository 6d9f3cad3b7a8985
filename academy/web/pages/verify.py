"""Certificates for everybody: the page that confirms one, the issuer, the check.

Nobody need sign in. The check happens on this server, without any network; the browser
is not asked to know anything of signatures.
"""

from datetime import datetime
from typing import Any

from flask import Blueprint, Response, jsonify, render_template, request

from academy.errors import NotFound, NotUnderstood
from academy.language import marked, show_date
from academy.service import certificate_check, certificate_lists, farm
from academy.service.certificate_check import Checked
from academy.service.certificate_words import CAUTION
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.certificates import VerifyForm
from academy.web.pages.certificates import WORDS
from academy.web.visit import house, now, reader

bp = Blueprint("verify", __name__)

FOUND = {
    "valid": marked("Genuine, and valid today"),
    "expired": marked("Genuine, but expired"),
    "not-yet": marked("Genuine, but not valid yet"),
    "revoked": marked("Genuine, but taken back"),
    "doubt": marked("Genuine, but in doubt"),
    "changed": marked("Changed after it was signed"),
    "unknown-key": marked("Signed by somebody we do not know"),
}
SHAPES = {
    "valid": "ready",
    "expired": "not-yet",
    "not-yet": "not-yet",
    "revoked": "untested",
    "doubt": "refresh",
    "changed": "untested",
    "unknown-key": "refresh",
}
LONGEST_FILE = 100_000


@bp.get("/c/<certificate_id>")
def public(certificate_id: str) -> str:
    """What a certificate certifies and whether it holds; nothing about its holder."""
    seen = certificate_lists.public(house(), certificate_id, now(), reader().language)
    return render_template("certificate.html", seen=seen, caution=CAUTION, **WORDS)


@bp.get("/issuer")
def issuer() -> Response:
    """Who issues certificates here, with every key that ever signed one."""
    return _document(certificate_check.issuer_profile(house()))


@bp.get("/issuer/keys/<key_id>")
def key(key_id: str) -> Response:
    """One public key."""
    found = certificate_check.key_document(house(), key_id)
    if found is None:
        raise NotFound("no_such_certificate")
    return _document(found)


@bp.get("/issuer/revocations")
def revocations() -> Response:
    """The certificates that were taken back."""
    return _document(certificate_check.revocation_list(house()))


def _page(sent: object = None, found: Checked | None = None) -> FormPage:
    return form_page.keep(
        "verify.html",
        VerifyForm(sent),
        found=found,
        words=FOUND,
        shapes=SHAPES,
        day=_day,
    )


def _day(moment: datetime | None) -> str:
    """The day of a moment on the farm's clock."""
    known = farm.farm(house(), moment) if moment else None
    if moment is None:
        return ""
    day = known.today if known else moment.date()
    return show_date(day, reader().language)


@bp.get("/verify")
def show() -> tuple[str, int]:
    """The way in for a certificate's file."""
    return _page().show()


@bp.post("/verify")
def check() -> tuple[str, int]:
    """What the file is worth; nothing is kept, so the answer is the page itself."""
    _page(request.form)
    raw = _sent()
    other = request.form.get("key", "")
    found = certificate_check.check(house(), raw, now(), other)
    return _page(request.form, found).show()


def _sent() -> bytes:
    """The file, else the pasted text without the line's end that pasting adds."""
    sent = request.files.get("file")
    data = sent.stream.read(LONGEST_FILE + 1) if sent else b""
    data = data or request.form.get("pasted", "").strip().encode()
    if not data:
        raise NotUnderstood("certificate_no_file")
    if len(data) > LONGEST_FILE:
        raise NotUnderstood("not_a_credential")
    return data


def _document(told: dict[str, Any]) -> Response:
    response = jsonify(told)
    response.headers["Access-Control-Allow-Origin"] = "*"
    return response
