"""How a broken hard limit is told in words."""

from academy.language import marked

LIMITS = {
    "fingers_too_near": marked("The tines can reach the raised bar."),
    "plug_up": marked("The mat is deeper than the drum can take: it plugs."),
    "cannot_sense": marked(
        "This header cannot sense its height off the ground without gauge wheels."
    ),
    "over_power": marked("The engine has not that much power."),
    "too_fast_for_slope": marked("Too fast for this slope."),
}
