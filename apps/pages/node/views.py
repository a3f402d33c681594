"""The page of the operator: what the node stores, whom it follows, what needs mending."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from apps.pages.node.state import node_state
from apps.pages.visitor import PageRequest, operator


@require_safe
@operator
def node(request: PageRequest) -> HttpResponse:
    """Show the state of the node."""
    state = node_state(timezone.now())
    shown = {"state": state, "node_host": settings.NODE_HOST}
    return render(request, "pages/node/node.html", shown)
