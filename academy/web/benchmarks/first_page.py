"""What a phone must fetch before it can show the first question."""

from flask.testing import FlaskClient

from academy.catalog import families
from academy.service import practice
from academy.web.benchmarks.installation import Installation, Page
from academy.web.benchmarks.measure import Measure

GZIP = {"Accept-Encoding": "gzip"}


def _fetched(client: FlaskClient, address: str) -> int:
    """Bytes of an answer, its head included."""
    answer = client.get(address, headers=GZIP)
    if answer.status_code != 200:
        raise RuntimeError(f"{address} answered {answer.status_code}, not 200")
    return len(answer.get_data()) + len(str(answer.headers))


def measure(installation: Installation) -> list[Measure]:
    """Kilobytes and requests of the heaviest family's question, nothing cached."""
    house, viewer, client = (
        installation.house,
        installation.viewer,
        installation.client,
    )
    sizes, requests = [], []
    for family in families.practised():
        scenario_id = practice.issue(house, viewer, family, house.clock())
        page = f"/practice/{scenario_id}"
        links = Page(client.get(page).get_data(as_text=True)).links
        sizes.append(sum(_fetched(client, each) for each in (page, *links)))
        requests.append(1 + len(links))
    return [
        Measure("first_page_over_the_wire", max(sizes) / 1000, "kB", most=40),
        Measure("first_page_requests", max(requests), "requests", most=3),
    ]
