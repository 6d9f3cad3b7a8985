"""Forms about people: first start, slip, sign-in, joining the crew."""

from zoneinfo import available_timezones

from wtforms import BooleanField, FileField, Form, SelectMultipleField
from wtforms.fields import SelectChoice

from academy.catalog import combines, headers
from academy.errors import NotUnderstood
from academy.language import marked
from academy.web.forms.fields import ChoiceField, TextField, refused
from academy.web.visit import reader

LANGUAGE_CHOICES = [SelectChoice("en", "English"), SelectChoice("es", "Español")]
UNIT_CHOICES = [
    SelectChoice("us", marked("US: mph, acres, bushels")),
    SelectChoice("metric", marked("Metric: km/h, hectares, tonnes")),
]
ROLE_NAMES = {
    "hire": marked("seasonal hire"),
    "lead": marked("lead"),
    "instructor": marked("instructor"),
    "owner": marked("owner"),
}
CONTINENTS = ("Africa/", "America/", "Asia/", "Australia/", "Europe/", "Pacific/")


class ReaderForm(Form):
    """Language and units of one person."""

    language = ChoiceField(marked("Language"), choices=LANGUAGE_CHOICES)
    units = ChoiceField(marked("Units"), choices=UNIT_CHOICES)


class FirstRunForm(ReaderForm):
    """What the owner says at the first start."""

    farm_name = TextField(marked("Name of the farm"))
    zone = ChoiceField(marked("Time zone of the farm"), default="America/Chicago")
    currency = TextField(marked("Currency, three letters"), default="USD")
    header_key = ChoiceField(marked("Header"))
    combine_key = ChoiceField(marked("Combine"))
    owner_name = TextField(marked("Your name"))


def first_run_form(formdata: object) -> FirstRunForm:
    """The form of the first start with today's zones, headers and combines."""
    language = reader().language
    form = FirstRunForm(formdata, data=None)
    form["zone"].choices = [
        SelectChoice(zone, zone.replace("_", " "))
        for zone in sorted(available_timezones())
        if zone.startswith(CONTINENTS)
    ]
    form["header_key"].choices = [
        SelectChoice(key, headers.load(key).name.for_language(language))
        for key in headers.known()
    ]
    form["combine_key"].choices = [
        SelectChoice(key, combines.load(key).name.for_language(language))
        for key in combines.known()
    ]
    return form


class SignInForm(Form):
    """The PIN of the person that was picked."""

    pin = TextField(marked("PIN from your slip, six digits"))


class RolesField(SelectMultipleField):
    """One or more of the roles, as ticks."""

    def pre_validate(self, _form: object) -> None:
        """Refuse none at all and what was never offered."""
        if not self.data:
            raise refused(NotUnderstood("role_needed"))
        for role in self.data:
            if role not in ROLE_NAMES:
                raise refused(NotUnderstood("not_a_choice", name="role", value=role))


class PersonForm(ReaderForm):
    """A person who joins the crew."""

    name = TextField(marked("Name"))
    roles = RolesField(
        marked("Roles"),
        choices=[SelectChoice(role, name) for role, name in ROLE_NAMES.items()],
        default=["hire"],
    )


class NameForm(Form):
    """A person's name, to be corrected."""

    name = TextField(marked("Name"))


class EraseForm(Form):
    """The box that says one has read what erasing does."""

    sure = BooleanField(marked("I have read this. Erase this person for good."))


class RosterForm(Form):
    """A roster file; the page reads its bytes."""

    file = FileField(marked("Roster file (CSV)"))
