"""What kind of device asks, from what its browser says; nothing finer is kept."""

from collections.abc import Mapping

from academy.language import marked

KIND_NAMES: Mapping[str, str] = {
    "phone": marked("Phone"),
    "tablet": marked("Tablet"),
    "computer": marked("Computer"),
    "unknown": marked("Device"),
}
_TABLETS = ("ipad", "tablet")
_COMPUTERS = ("windows", "macintosh", "x11", "cros", "linux")


def kind_of(user_agent: str) -> str:
    """phone, tablet, computer or unknown.

    >>> kind_of("Mozilla/5.0 (Linux; Android 14; K) ... Mobile Safari/537.36")
    'phone'
    """
    said = user_agent.lower()
    if any(word in said for word in _TABLETS):
        return "tablet"
    if "mobi" in said or "iphone" in said:
        return "phone"
    if "android" in said:  # without "Mobile" it is a tablet
        return "tablet"
    return "computer" if any(word in said for word in _COMPUTERS) else "unknown"
