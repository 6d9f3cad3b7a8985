"""The errors the house raises on purpose: a key and values, never a sentence.

``language.sentence_for`` turns one into a sentence for the reader; the key picks the
sentence, the values fill it. The room that notices something wrong raises; nobody in
between catches.
"""


class AcademyError(Exception):
    """Something the house refuses, as a key and the values of its sentence."""

    def __init__(self, key: str, **values: object) -> None:
        super().__init__(key, values)
        self.key = key
        self.values = values

    def __reduce__(self) -> tuple[object, ...]:
        """So that it also comes back whole from another process."""
        return _raised_elsewhere, (type(self), self.key, self.values)

    def __str__(self) -> str:
        inside = ", ".join(f"{name}={value!r}" for name, value in self.values.items())
        return f"{self.key}({inside})"


def _raised_elsewhere(
    kind: type[AcademyError], key: str, values: dict[str, object]
) -> AcademyError:
    return kind(key, **values)


class OutOfRange(AcademyError):
    """A value of the right kind that lies where it cannot be."""


class WrongUnit(AcademyError):
    """A unit that does not measure what was asked."""


class NotUnderstood(AcademyError):
    """Typed text that is not the thing that was asked for."""


class ContentError(AcademyError):
    """A file in ``content/`` that breaks its own rules; names file and field."""


class NotFound(AcademyError):
    """No such thing, or not this person's to see."""


class NotAllowed(AcademyError):
    """A deed this person may not do."""


class Conflict(AcademyError):
    """A deed that came too late or twice."""


class Unavailable(AcademyError):
    """Something the machine cannot give just now: disk, database, lock."""
