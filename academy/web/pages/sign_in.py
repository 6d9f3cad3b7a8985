"""Signing in with a PIN on a device that a slip opened, and signing out."""

from flask import Blueprint, redirect, request
from werkzeug.wrappers import Response
from wtforms.fields import SelectChoice

from academy.service import signing
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import SignInForm
from academy.web.visit import (
    DEVICE,
    READER,
    SIGN_IN,
    address,
    go,
    house,
    local_path,
    now,
    visit,
)

bp = Blueprint("sign_in", __name__)


def _page() -> FormPage:
    known = signing.people_on_device(house(), request.cookies.get(DEVICE, ""))
    sent = request.form if request.method == "POST" else None
    form = SignInForm(sent)
    form["person"].choices = [SelectChoice(*one) for one in known]
    if sent is None and known:
        form["person"].data = known[0][0]
    back = local_path(request.values.get("next"))
    return form_page.keep("sign_in.html", form, known=known, back=back)


@bp.get("/sign-in")
def show() -> tuple[str, int]:
    """The people on this device."""
    return _page().show()


@bp.post("/sign-in")
def enter() -> Response | tuple[str, int]:
    """Sign in with person and PIN, then go where one wanted to."""
    page = _page()
    if not page.valid():
        return page.again()
    token = signing.sign_in(
        house(),
        request.cookies.get(DEVICE, ""),
        page.form["person"].data,
        page.form["pin"].data,
        address(),
        now(),
    )
    visit().remember(SIGN_IN, token)
    return redirect(local_path(request.form.get("next")) or "/", code=303)


@bp.post("/sign-out")
def leave() -> Response:
    """End this sign-in; the device stays known and keeps its language."""
    viewer = visit().viewer
    if viewer:
        signing.sign_out(house(), viewer, now())
        visit().remember(READER, f"{viewer.language}.{viewer.units}")
    visit().remember(SIGN_IN, "", 0)
    return go("today.show")
