"""A page with a form on it: shown, and shown again with everything typed kept.

A view keeps its page before it does the deed. When the deed refuses what was typed, the
error handler finds the kept page and shows it again with the sentence on top.
"""

from dataclasses import dataclass, field
from typing import cast

from flask import g, render_template, request
from wtforms import Form


@dataclass
class FormPage:
    """A template with its form; ``refused`` are the sentences about the whole form."""

    template: str
    form: Form
    context: dict[str, object]
    refused: list[str] = field(default_factory=list)

    def show(self, status: int = 200) -> tuple[str, int]:
        """The page, its form filled in as far as it was typed."""
        text = render_template(
            self.template, form=self.form, refused=self.refused, **self.context
        )
        return text, status

    def valid(self) -> bool:
        """Whether every field of the form is in order."""
        return bool(self.form.validate())

    def again(self) -> tuple[str, int]:
        """The page with what is wrong beside each field (422)."""
        return self.show(422)


def keep(template: str, form: Form, **context: object) -> FormPage:
    """A form page that the error handler can show again during this request."""
    page = FormPage(template, form, context)
    g.form_page = page
    return page


def kept() -> FormPage | None:
    """The form page of this request if it was sent in."""
    if request.method != "POST" and not request.args:
        return None
    return cast(FormPage | None, g.get("form_page"))
