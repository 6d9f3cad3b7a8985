"""How the evidence classes are told in words."""

from academy.language import marked

EVIDENCE = {
    "published": marked("published: the figure stands in the named source"),
    "derived": marked("derived: geometry, kinematics or mass balance"),
    "practice": marked("common practice, without a source"),
    "memory": marked("recalled, not yet confirmed in a source"),
    "judgement": marked("our judgement, within a range"),
}
