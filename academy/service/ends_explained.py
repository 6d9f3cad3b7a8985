"""Dividers at the ends on the header and crop of some facts, in words and figures."""

from typing import get_args

from academy.catalog import coefficients, end_safety, parts
from academy.engine.ends import Dividers, EndsEffect, EndsState, ends_effect
from academy.engine.stand import Stand, toughness
from academy.language import Reader, gettext, marked, show
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.shown_facts import capital
from academy.service.views import Table

_CHOICE = {
    1.0: marked("Here long dividers are clearly right."),
    0.0: marked("Here there is no clear difference: it is a matter of taste."),
    -1.0: marked("Here short dividers are clearly right."),
}


def _effect(facts: Facts, stand: Stand, kind: Dividers) -> EndsEffect:
    return ends_effect(
        field=conditions.field_of(facts),
        machine=conditions.machine_of(facts),
        stand=stand,
        toughness=toughness(stand, parts.load("stand").values),
        believed=coefficients.load(facts["crop"]).values,
        state=EndsState(dividers=kind),
        c=parts.load("ends").values,
    )


def ends_table(facts: Facts, stand: Stand, reader: Reader) -> Table:
    """What each kind of dividers loses at the ends; raises OutOfRange."""
    language, kinds = reader.language, parts.load("ends").choices["dividers"].kinds
    rows = []
    for kind in get_args(Dividers):
        effect = _effect(facts, stand, kind)
        rows.append(
            (
                capital(kinds[kind].for_language(language)),
                show(float(effect.divider_share), "share", reader),
                show(float(effect.width_lost), "small_length", reader),
            )
        )
    head = (
        gettext(marked("Dividers"), language),
        gettext(marked("Share of the crop lost at both ends"), language),
        gettext(marked("Width of crop lost at each end"), language),
    )
    return Table(gettext(marked("What the ends lose"), language), head, tuple(rows))


def ends_told(facts: Facts, stand: Stand, reader: Reader) -> tuple[str, ...]:
    """Whether one kind is clearly right, and what else the ends ask for."""
    language = reader.language
    choice = float(_effect(facts, stand, "suited").clear_choice)
    rules = (rule.text.for_language(language) for rule in end_safety.load().values())
    return (gettext(_CHOICE[choice], language), *rules)
