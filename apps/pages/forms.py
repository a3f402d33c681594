"""What pages with a form share."""

from __future__ import annotations

from http import HTTPStatus

from django import forms


def status_of(form: forms.BaseForm) -> int:
    """Give the status of a page that shows a form: 422 where what was sent needs mending."""
    return HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound and form.errors else HTTPStatus.OK
