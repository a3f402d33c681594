"""Every address of a node: the API and its contract, then the pages."""

from django.urls import include, path

urlpatterns = [
    path("", include("apps.api.urls")),
    path("", include("apps.pages.urls")),
]

handler400 = "service_registry.refusals.bad_request"
handler403 = "service_registry.refusals.forbidden"
handler404 = "service_registry.refusals.not_found"
handler500 = "service_registry.refusals.server_error"
