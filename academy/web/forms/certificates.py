"""Forms of certificates: giving one, taking one back, checking a file."""

from wtforms import FileField, Form
from wtforms.fields import StringField, TextAreaField

from academy.language import marked
from academy.web.forms.fields import ChoiceField, TextField
from academy.web.forms.people import LANGUAGE_CHOICES


class GiveForm(Form):
    """The language that a certificate is written in."""

    language = ChoiceField(
        marked("Language of the certificate"), choices=LANGUAGE_CHOICES
    )


class RevokeForm(Form):
    """Why a certificate is taken back."""

    reason = TextField(marked("Why it is taken back"))


class VerifyForm(Form):
    """A certificate's file, or its text; and the key of another issuer, if known."""

    file = FileField(marked("The file that ends in .json"))
    pasted = TextAreaField(marked("Or its text, pasted"))
    key = StringField(marked("Public key of another farm, if you have it"))
