"""Which scope of an API key an address asks for; what the shop itself may do is the registry's."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rest_framework.exceptions import NotAuthenticated
from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from apps.api.problem_types import NOT_ALLOWED
from apps.api.problems import CHALLENGE, Problem
from apps.registry.actors import Scope

if TYPE_CHECKING:
    from rest_framework.views import APIView


class HasScope(BasePermission):
    """Lets a request pass whose key has the scope that the operation asks for."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        """Say yes, or raise with the reason.

        Raises
        ------
        NotAuthenticated
            Without a key, where one is needed.
        Problem
            `not-allowed` when the key lacks the scope.
        """
        scopes = _scopes_needed(view, request)
        if not scopes:
            return True
        credential: Any = request.auth
        if credential is None:
            raise NotAuthenticated("Send an API key as `Authorization: Bearer KEY`.")
        if credential.scopes.isdisjoint(scopes):
            raise _lacks(scopes[0])
        return True


def _scopes_needed(view: Any, request: Request) -> tuple[Scope, ...]:
    """The scopes, or none for a public operation and for a method that will be refused anyway."""
    operation = view.operation_of(request)
    return () if operation is None else tuple(operation.scopes)


def _lacks(scope: Scope) -> Problem:
    challenge = f'{CHALLENGE}, error="insufficient_scope", scope="{scope}"'
    sentence = f"This key has no scope `{scope}`; use one that has."
    return Problem(NOT_ALLOWED, sentence, headers={"WWW-Authenticate": challenge})
