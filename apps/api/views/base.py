"""What all views share: the operation says scope, rate and parameters; answers carry an ETag."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, TypeVar, cast

from rest_framework.exceptions import APIException
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from apps.api.etags import tagged
from apps.api.operations import Operation
from apps.api.parsing import ONE_RECORD_BYTES, check_encoding, check_length
from apps.api.problems import Problem
from apps.api.query import Query, read_query
from apps.registry.actors import Actor

Q = TypeVar("Q", bound=Query)


class ApiView(APIView):
    """A view whose methods are described by operations."""

    @property
    @abstractmethod
    def operations(self) -> Mapping[str, Operation]:
        """The operations by HTTP method."""
        ...

    http_method_names = ["get", "post", "put", "delete", "head", "options"]
    max_bytes = ONE_RECORD_BYTES

    def operation_of(self, request: Request) -> Operation | None:
        """The operation a request asks for; HEAD asks for what GET does."""
        return self.operations.get("GET" if request.method == "HEAD" else str(request.method))

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Refuse what needs no handler: wrong key, scope, rate, parameters and length."""
        super().initial(request, *args, **kwargs)
        operation = self.operation_of(request)
        if operation is not None:
            self.query = read_query(request.query_params, operation.query)
            check_length(request, self.max_bytes)
            if operation.takes_body:
                check_encoding(request)

    def query_as(self, _model: type[Q]) -> Q:
        """The query parameters that `initial` read by the operation's model."""
        return cast("Q", self.query)

    def actor(self, request: Request) -> Actor:
        """Who asks; only for operations that need a key."""
        return cast("Actor", request.user)

    def perform_authentication(self, request: Request) -> None:
        """Find out who asks."""
        with self._counted(request):
            super().perform_authentication(request)

    def check_permissions(self, request: Request) -> None:
        """Ask whether the key allows it."""
        with self._counted(request):
            super().check_permissions(request)

    @contextmanager
    def _counted(self, request: Request) -> Iterator[None]:
        """Count a refused request too, so that trying keys one by one is slow."""
        try:
            yield
        except (APIException, Problem):
            self.check_throttles(request)
            raise

    def options(self, request: Any, *args: Any, **kwargs: Any) -> Response:  # noqa: ARG002 - theirs
        """Say which methods work here, in the `Allow` header."""
        return Response(status=204)

    def finalize_response(
        self, request: Request, response: Any, *args: Any, **kwargs: Any
    ) -> Response:
        """Put the caching headers on an answer."""
        final = super().finalize_response(request, response, *args, **kwargs)
        final.headers.setdefault("Cache-Control", "private, no-cache")
        final.headers.setdefault("Vary", "Authorization")
        if request.method in {"GET", "HEAD"} and final.status_code == 200:
            final.add_post_render_callback(lambda rendered: tagged(request, rendered))
        return final
