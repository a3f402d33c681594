"""How a page of the fleet reads its address, and what it answers to one with mistakes."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any, TypeVar

from django.http.response import HttpResponseBase
from django.shortcuts import render

from apps.pages.fleet.filters import FilterForm
from apps.pages.visitor import PageRequest

Form = TypeVar("Form", bound=FilterForm)
Asked = Callable[[PageRequest, Form], HttpResponseBase]


def asked_by(
    form_class: type[Form], template: str
) -> Callable[[Asked[Form]], Callable[[PageRequest], HttpResponseBase]]:
    """Give a view the valid form of its address; one with mistakes shows them on the same page.

    Parameters
    ----------
    form_class : type
        Of the form.
    template : str
        The page that shows it.
    """

    def asking(view: Asked[Form]) -> Callable[[PageRequest], HttpResponseBase]:
        @wraps(view)
        def answered(request: PageRequest) -> HttpResponseBase:
            form = form_class(request.GET)
            if form.is_valid():
                return view(request, form)
            shown: dict[str, Any] = {"form": form, "is_refused": True}
            return render(request, template, shown, status=HTTPStatus.BAD_REQUEST)

        return answered

    return asking
