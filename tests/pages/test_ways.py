"""The way at the top of a page that says where the visitor is."""

from __future__ import annotations

import re

import pytest
from django.template import Context, Template
from django.test import Client

from apps.pages.templatetags.ways import section_of


@pytest.mark.parametrize(
    ("path", "section"),
    [
        ("/", "home"),
        ("/bench", "bench"),
        ("/bench/veskerdal-hire/VH-1/job", "bench"),
        ("/benches", ""),
        ("/fleet", "fleet"),
        ("/fleet/pairs", "fleet"),
        ("/fleet/due", "due"),
        ("/shop/people", "shop"),
        ("/t/veskerdal-hire/VH-1", ""),
    ],
)
def test_the_section_of_a_page(path: str, section: str) -> None:
    assert section_of(path) == section


@pytest.mark.django_db
@pytest.mark.parametrize(("path", "way"), [("/", "/"), ("/enter", "/enter")])
def test_one_way_is_marked(path: str, way: str) -> None:
    html = Client().get(path).content.decode()
    top = html[html.index("<header") : html.index("</header>")]
    assert re.findall(r'href="([^"]+)" aria-current="page"', top) == [way]
    assert top.count("aria-current") == 1


def test_a_page_without_a_request_marks_none() -> None:
    page = Template("{% load ways %}{% current 'bench' %}")
    assert page.render(Context({})) == ""
