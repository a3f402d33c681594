"""Every address of a node: the API and its contract, then the pages."""

from django.urls import include, path

urlpatterns = [
    path("", include("apps.api.urls")),
]

handler400 = "apps.api.problems.bad_request"
handler404 = "apps.api.problems.not_found"
handler500 = "apps.api.problems.server_error"
