"""The root of the API, the contract, and the pages that explain both to people."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt
from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_about
from apps.api.contract_about import NAME, ROOT_LINKS, VERSION
from apps.api.openapi import contract_json
from apps.api.operations import Operation
from apps.api.problem_types import PROBLEM_TYPES
from apps.api.problems import method_not_allowed
from apps.api.reference import reference
from apps.api.rendering import Verbatim
from apps.api.views.base import ApiView

# The pages have no script and nothing from another host; the header holds them to it.
POLICY = (
    "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)


SAFE = ("GET", "HEAD")


class PublicView(ApiView):
    """A view that needs no key and looks at none."""

    authentication_classes = ()


class Root(PublicView):
    """The root of the API."""

    operations: Mapping[str, Operation] = {"GET": contract_about.ROOT}

    def get(self, _request: Request) -> Response:
        """Say where to find what."""
        return Response(
            {
                "name": NAME,
                "version": VERSION,
                "node_host": settings.NODE_HOST,
                "links": ROOT_LINKS,
            }
        )


class Contract(PublicView):
    """The contract as JSON."""

    operations: Mapping[str, Operation] = {"GET": contract_about.CONTRACT}

    def get(self, _request: Request) -> Response:
        """Show it."""
        return Response(Verbatim(contract_json()))


def _page(template: str, context: Callable[[], dict[str, object]]) -> Callable[..., HttpResponse]:
    # A page takes no form, so the guard of forms would only hide that the method is wrong.
    @csrf_exempt
    def view(request: HttpRequest) -> HttpResponse:
        if request.method not in SAFE:
            return method_not_allowed(request, allow=SAFE)
        response = render(request, template, context())
        response.headers["Content-Security-Policy"] = POLICY
        return response

    return view


docs = _page("api/reference.html", lambda: {"reference": reference()})
problems = _page("api/problems.html", lambda: {"problems": PROBLEM_TYPES})
