"""What a person types and a scanner sends, read as a ski."""

from __future__ import annotations

import pytest
from django.conf import settings

from apps.pages.typed_tag import NoTagInAddress, read_typed
from apps.registry.errors import UnknownTag

OWN = f"veskerdal-hire@{settings.NODE_HOST}"
HOST = "127.0.0.1:8004"


@pytest.mark.parametrize(
    ("text", "shop", "tag"),
    [
        ("VH-1-A", OWN, "VH-1-A"),
        ("  vh-1-a\t", OWN, "VH-1-A"),
        ("brindle-bench/BB-2", f"brindle-bench@{settings.NODE_HOST}", "BB-2"),
        ("kelderby-bench@lake.example/K-3", "kelderby-bench@lake.example", "K-3"),
        (f"http://{HOST}/t/veskerdal-hire/VH-1-A", OWN, "VH-1-A"),
        (f"HTTP://{HOST}/t/veskerdal-hire/vh-1-a/", OWN, "VH-1-A"),
        ("https://lake.example/t/kelderby-bench/K-3", "kelderby-bench@lake.example", "K-3"),
        (
            "https://lake.example:8443/t/kelderby-bench/K-3?x=1",
            "kelderby-bench@lake.example",
            "K-3",
        ),
        (
            f"http://{HOST}/t/kelderby-bench%40lake.example/K-3",
            "kelderby-bench@lake.example",
            "K-3",
        ),
    ],
)
def test_tags(text: str, shop: str, tag: str) -> None:
    ski = read_typed(text, own=OWN, host=HOST)
    assert (ski.shop, ski.tag) == (shop, tag)


@pytest.mark.parametrize(
    "text", ["", "VH 1", "VH_1_", "a/b/c", "Häng-1", "x" * 41, "/", "veskerdal-hire/"]
)
def test_what_is_no_tag(text: str) -> None:
    with pytest.raises(UnknownTag):
        read_typed(text, own=OWN, host=HOST)


@pytest.mark.parametrize(
    "text",
    [
        f"http://{HOST}/",
        f"http://{HOST}/t/veskerdal-hire",
        f"http://{HOST}/t/veskerdal-hire/VH-1/x",
        f"http://{HOST}/s/veskerdal-hire/VH-1",
        "http://[",
        "https://[::1/t/veskerdal-hire/VH-1-A",
    ],
)
def test_addresses_of_something_else(text: str) -> None:
    with pytest.raises(NoTagInAddress):
        read_typed(text, own=OWN, host=HOST)
