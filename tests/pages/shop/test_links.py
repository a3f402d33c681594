"""Links for buyers, and who looked."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
import zxingcpp
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.pages.shop import links, looks
from apps.registry.actions import look_up_tag
from apps.registry.actors import Actor
from apps.registry.models import LookUp, ShareLink
from apps.registry.sharing import make_share_link, open_share_link
from tests.pages.labels.raster import Box, inked, runs_of
from tests.pages.people import a_person, an_operator, sitting, text_of
from tests.registry.making import a_shop, a_ski

ADDRESS = re.compile(r"http://testserver/s/(skishare_[a-z2-7]{8}_[A-Za-z0-9_-]{43})")
TAG = "VH-0007"
REVOKE = b">Revoke</button>"


@pytest.fixture
def ski(shop: Actor) -> str:
    """A ski of the shop; gives its tag."""
    a_ski(shop, tag=TAG)
    return TAG


def make(client: Client, tag: str = TAG, days: str = "62") -> str:
    """Make a link; gives its token as the page shows it."""
    answer = client.post("/shop/links", {"tag": tag, "days": days})
    assert answer.headers["Location"] == "/shop/links"
    found = ADDRESS.search(client.get("/shop/links").content.decode())
    assert found
    return found[1]


@pytest.mark.usefixtures("ski")
def test_a_link_is_shown_once_and_opens_the_ski(technician: Client) -> None:
    token = make(technician, tag=" vh-0007 ")
    assert open_share_link(token, now=timezone.now()).tag == TAG
    assert not ADDRESS.search(technician.get("/shop/links").content.decode())


@pytest.mark.usefixtures("ski")
def test_the_code_beside_it_is_the_link(technician: Client) -> None:
    technician.post("/shop/links", {"tag": TAG, "days": "62"})
    page = technician.get("/shop/links").content.decode()
    address = ADDRESS.search(page)
    path = re.search(r'<path d="([^"]+)"', page)
    size = re.search(r'viewBox="-4 -4 (\d+) \1"', page)
    assert address
    assert path
    assert size
    boxes = [Box(x + 4, y + 4, width, 1) for x, y, width in runs_of(path[1])]
    (found,) = zxingcpp.read_barcodes(inked(boxes, int(size[1]), int(size[1]), dots=4))
    assert found.text == address[0]


@pytest.mark.usefixtures("ski")
def test_a_link_lasts_as_long_as_was_asked(technician: Client) -> None:
    make(technician, days="3")
    link = ShareLink.objects.get()
    assert link.expires_at - link.created_at == timedelta(days=3)


@pytest.mark.usefixtures("ski")
@pytest.mark.parametrize(
    ("tag", "days", "field", "said"),
    [
        ("", "62", "tag", "This field is required."),
        ("VH-0008", "62", "tag", "No ski of your shop has this tag. Did you mean VH-0007?"),
        ("ELSE-1", "62", "tag", "No ski of your shop has this tag."),
        (TAG, "0", "days", "greater than or equal to 1"),
        (TAG, "63", "days", "less than or equal to 62"),
    ],
)
def test_what_is_wrong_stands_at_its_field(
    tag: str, days: str, field: str, said: str, technician: Client
) -> None:
    answer = technician.post("/shop/links", {"tag": tag, "days": days})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert not ShareLink.objects.exists()


def test_the_form_takes_over_a_tag(technician: Client) -> None:
    assert 'value="VH-0007"' in technician.get("/shop/links?tag=VH-0007").content.decode()


@pytest.mark.usefixtures("ski")
def test_a_revoked_link_opens_nothing(technician: Client) -> None:
    make(technician)
    prefix = ShareLink.objects.get().prefix
    assert REVOKE in technician.get("/shop/links").content
    assert technician.post(f"/shop/links/{prefix}/revoke").headers["Location"] == "/shop/links"
    assert ShareLink.objects.get().revoked_at is not None
    answer = technician.get("/shop/links")
    assert "The link to VH-0007 opens nothing any more." in text_of(answer)
    assert REVOKE not in answer.content


@pytest.mark.usefixtures("ski")
def test_a_link_that_is_over_needs_no_revoking(technician: Client, shop: Actor) -> None:
    past = timezone.now() - timedelta(days=10)
    make_share_link(shop=shop.handle, tag=TAG, days=1, by=shop, now=past)
    answer = technician.get("/shop/links")
    assert "Over since " in text_of(answer)
    assert REVOKE not in answer.content


@pytest.mark.usefixtures("ski")
def test_how_often_a_link_was_opened_is_shown(reader: Client, shop: Actor) -> None:
    made = make_share_link(shop=shop.handle, tag=TAG, by=shop)
    assert "Never opened." in text_of(reader.get("/shop/links"))
    open_share_link(made.token, now=timezone.now())
    assert "Opened 1 time, on " in text_of(reader.get("/shop/links"))
    open_share_link(made.token, now=timezone.now())
    shown = text_of(reader.get("/shop/links"))
    assert re.search(r"Opened 2 times, last on \d+ \w{3,4} \d{4}, \d\d:\d\d\. ", shown)
    assert "Links for buyers were opened 2 times." in text_of(reader.get("/shop/looks"))


@pytest.mark.usefixtures("ski")
def test_who_only_reads_sees_links_and_makes_none(reader: Client, shop: Actor) -> None:
    made = make_share_link(shop=shop.handle, tag=TAG, by=shop)
    answer = reader.get("/shop/links")
    assert made.prefix in text_of(answer)
    assert "Make a link" not in text_of(answer)
    assert REVOKE not in answer.content
    assert reader.post("/shop/links", {"tag": TAG, "days": "3"}).status_code == 403
    assert reader.post(f"/shop/links/{made.prefix}/revoke").status_code == 403


@pytest.mark.usefixtures("ski")
def test_links_of_another_shop_are_out_of_reach(shop: Actor) -> None:
    made = make_share_link(shop=shop.handle, tag=TAG, by=shop)
    other = sitting(a_person(a_shop("kelderby-bench").handle, "owner", "else"))
    assert made.prefix not in text_of(other.get("/shop/links"))
    assert other.post(f"/shop/links/{made.prefix}/revoke").status_code == 404
    assert other.get(f"/shop/links/{made.prefix}/revoke").status_code == 405
    assert ShareLink.objects.get().revoked_at is None


@pytest.mark.usefixtures("ski")
def test_older_links_are_a_page_further(
    reader: Client, shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(links, "PAGE", 2)
    now = timezone.now()
    made = [
        make_share_link(shop=shop.handle, tag=TAG, by=shop, now=now - timedelta(hours=hours)).prefix
        for hours in range(3)
    ]
    first = reader.get("/shop/links").content.decode()
    assert [prefix in first for prefix in made] == [True, True, False]
    assert f'href="?before={made[1]}"' in first
    older = reader.get(f"/shop/links?before={made[1]}").content.decode()
    assert f"skishare_{made[2]}<" in older
    assert f"skishare_{made[0]}<" not in older


def test_looks_by_others_are_shown_and_own_ones_are_none(
    reader: Client, shop: Actor, ski: str
) -> None:
    assert "Nobody else looked." in text_of(reader.get("/shop/looks"))
    other = a_shop("kelderby-bench")
    look_up_tag(shop=shop.handle, tag=ski, by=shop)
    look_up_tag(shop=shop.handle, tag=ski, by=other)
    said = text_of(reader.get("/shop/looks"))
    assert f"{ski} kelderby-bench" in said
    assert LookUp.objects.count() == 1


def test_looks_at_other_shops_tags_are_not_shown(reader: Client, shop: Actor) -> None:
    other = a_shop("kelderby-bench")
    a_ski(other, tag="KB-1")
    look_up_tag(shop=other.handle, tag="KB-1", by=shop)
    assert "KB-1" not in text_of(reader.get("/shop/looks"))
    assert "KB-1" not in text_of(reader.get("/shop/looks?tag=KB-1")).replace("Only this tag", "")


def test_looks_at_one_tag(reader: Client, shop: Actor, ski: str) -> None:
    a_ski(shop, tag="VH-0008")
    other = a_shop("kelderby-bench")
    for tag in (ski, "VH-0008"):
        look_up_tag(shop=shop.handle, tag=tag, by=other)
    page = reader.get("/shop/looks?tag=vh-0008").content.decode()
    assert 'href="/t/veskerdal-hire/VH-0008"' in page
    assert 'href="/t/veskerdal-hire/VH-0007"' not in page


def test_older_looks_are_a_page_further(
    reader: Client, shop: Actor, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(looks, "PAGE", 2)
    other = a_shop("kelderby-bench")
    for _ in range(3):
        look_up_tag(shop=shop.handle, tag=ski, by=other)
    oldest, middle, _latest = LookUp.objects.order_by("id").values_list("id", flat=True)
    first = reader.get(f"/shop/looks?tag={ski}").content.decode()
    assert f'href="?before={middle}&amp;tag={ski}"' in first
    older = reader.get(f"/shop/looks?before={middle}&tag={ski}").content.decode()
    assert older.count("kelderby-bench") == 1
    assert f"before={oldest}" not in older


@pytest.mark.parametrize(
    "query",
    [
        "looks?tag=%00",
        "looks?tag=VH%0A-7",
        "looks?before=%00",
        f"looks?before={'9' * 5000}",
        "looks?before=999999999999999999",
        "links?before=%00",
        "links?before=a%00b",
    ],
)
def test_places_and_tags_that_can_be_none_are_read_as_such(query: str, reader: Client) -> None:
    assert reader.get(f"/shop/{query}").status_code == 200


@pytest.mark.parametrize("path", ["/shop/links", "/shop/looks", "/shop/practice"])
@pytest.mark.django_db
def test_guests_log_in_first_and_the_operator_has_no_shop(path: str) -> None:
    assert Client().get(path).headers["Location"].startswith("/enter?next=")
    assert sitting(an_operator()).get(path).status_code == 403


@pytest.mark.parametrize("count", [1, 4])
def test_the_pages_ask_a_fixed_number_of_queries(
    count: int,
    reader: Client,
    shop: Actor,
    ski: str,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    other = a_shop("kelderby-bench")
    for _ in range(count):
        make_share_link(shop=shop.handle, tag=ski, by=shop)
        look_up_tag(shop=shop.handle, tag=ski, by=other)
    with django_assert_num_queries(4):
        reader.get("/shop/links")
    with django_assert_num_queries(5):
        reader.get("/shop/looks")
