"""The forms around an assessment: releasing one, another window, voiding a question."""

from wtforms import Form, HiddenField, StringField
from wtforms.fields import SelectChoice

from academy.language import marked
from academy.service.assessment_release import ReleaseChoices
from academy.web.forms.fields import ChoiceField

WINDOWS = [
    SelectChoice("today", marked("until the end of today")),
    SelectChoice("tomorrow", marked("until the end of tomorrow")),
    SelectChoice("week", marked("for seven days")),
]


class WindowForm(Form):
    """How long it stays open."""

    until = ChoiceField(marked("Open"), choices=WINDOWS, default="today")


class VoidForm(Form):
    """Which question, and the technical reason; the deed refuses an empty one."""

    step = HiddenField()
    reason = StringField(marked("What failed"))


def release_form(offered: ReleaseChoices, sent: object = None) -> WindowForm:
    """Which certificate, and how long it stays open."""
    keys = [SelectChoice(one.key, one.title) for one in offered.offers]
    first = offered.offers[0].key if offered.offers else ""
    field = ChoiceField(marked("Certificate"), choices=keys, default=first)
    made: type[WindowForm] = type("Release", (WindowForm,), {"certificate": field})
    return made(sent)
