"""A choice among ways or options: the right one, or none of the marks."""

from academy.grading.mark import Mark


def mark_choice(answer: str, key: str, wrong: str = "wrong_way") -> Mark:
    """Mark of a choice; nothing between right and wrong."""
    right = answer == key
    return Mark(float(right), "full" if right else wrong, detail={"key": key})
