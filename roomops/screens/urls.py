"""Every address of the tool."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
