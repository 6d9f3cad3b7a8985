"""Signing in with a PIN on a device that a slip opened, and signing out.

On a shared device one picks a name first; the PIN is then asked in that person's
language. Where somebody wanted to go is kept for that very person only.
"""

from flask import Blueprint, redirect, request
from werkzeug.wrappers import Response

from academy.service import signing
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import SignInForm
from academy.web.visit import (
    DEVICE,
    SIGN_IN,
    address,
    go,
    house,
    leave_reader,
    local_path,
    now,
    read_as,
    visit,
)

bp = Blueprint("sign_in", __name__)


def _device() -> str:
    return request.cookies.get(DEVICE, "")


def _back(person_id: str, shared: bool) -> str | None:
    """Where this person wanted to go; on a shared device only if last here."""
    back = local_path(request.values.get("next"))
    if back is None or not shared:
        return back
    last = signing.last_person(house(), request.cookies.get(SIGN_IN, ""))
    return back if last == person_id else None


def _page() -> FormPage:
    known = signing.people_on_device(house(), _device())
    chosen = request.values.get("person") or (known[0][0] if len(known) == 1 else "")
    form = SignInForm(request.form if request.method == "POST" else None)
    if chosen:
        read_as(*signing.reader_on_device(house(), _device(), chosen))
    return form_page.keep(
        "sign_in.html",
        form,
        known=known,
        name=dict(known).get(chosen),
        chosen=chosen,
        back=_back(chosen, len(known) > 1),
        wanted=local_path(request.values.get("next")),
    )


@bp.get("/sign-in")
def show() -> tuple[str, int]:
    """The people on this device, or the PIN of the one that was picked."""
    return _page().show()


@bp.post("/sign-in")
def enter() -> Response | tuple[str, int]:
    """Sign in with person and PIN, then go where one wanted to."""
    page = _page()
    if not page.valid():
        return page.again()
    person_id = str(page.context["chosen"])
    token = signing.sign_in(
        house(), _device(), person_id, page.form["pin"].data, address(), now()
    )
    leave_reader(*signing.reader_on_device(house(), _device(), person_id))
    visit().remember(SIGN_IN, token)
    return redirect(str(page.context["back"] or "/"), code=303)


@bp.post("/sign-out")
def leave() -> Response:
    """End this sign-in; the device stays known and keeps its language.

    A shared one shows its people next.
    """
    viewer = visit().viewer
    if viewer:
        signing.sign_out(house(), viewer, now())
        leave_reader(viewer.language, viewer.units)
    visit().remember(SIGN_IN, "", 0)
    return go("sign_in.show" if viewer and viewer.shared else "today.show")
