"""The hidden field that every form carries so that no other site can send it."""

from flask import Flask
from flask_wtf.csrf import CSRFProtect, generate_csrf
from markupsafe import Markup

_protect = CSRFProtect()


def forgery_guard() -> Markup:
    """The hidden field, good for as long as this sign-in or visit."""
    return Markup('<input type="hidden" name="csrf_token" value="{}">').format(
        generate_csrf()
    )


def guard_value() -> str:
    """The field's value alone, for answers that waited on a phone."""
    return str(generate_csrf())


def init_app(app: Flask) -> None:
    """Refuse every POST without the field; it must run after the visit is settled."""
    app.config["WTF_CSRF_TIME_LIMIT"] = None
    _protect.init_app(app)
    app.jinja_env.globals["forgery_guard"] = forgery_guard
