"""Content read anew: what was read stays in caches until they are emptied here."""

import sys

_ROOMS = ("academy.catalog.", "academy.language", "academy.service.")


def reread() -> None:
    """Forget all content that was read, so that its next use reads the files again.

    For checks of an edited copy; an opened house keeps the catalog it was opened with.
    """
    for name, module in list(sys.modules.items()):
        if name.startswith(_ROOMS):
            for thing in list(vars(module).values()):
                forget = getattr(thing, "cache_clear", None)
                if callable(forget):
                    forget()
