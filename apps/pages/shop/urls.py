"""Addresses of the shop."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.shop import keys, links, looks, people, practice

urlpatterns: list[URLPattern] = [
    path("shop/people", people.people, name="people"),
    path("shop/people/<str:username>/role", people.role, name="person-role"),
    path("shop/people/<str:username>/alias", people.alias, name="person-alias"),
    path("shop/people/<str:username>/password", people.password, name="person-password"),
    path("shop/people/<str:username>/remove", people.remove, name="person-remove"),
    path("shop/keys", keys.keys, name="keys"),
    path("shop/keys/<str:prefix>/revoke", keys.revoke, name="key-revoke"),
    path("shop/links", links.links, name="share-links"),
    path("shop/links/<str:prefix>/revoke", links.revoke, name="share-link-revoke"),
    path("shop/looks", looks.looks, name="looks"),
    path("shop/practice", practice.practice, name="practice"),
]
