"""Every page is found from here; the pages themselves are named in `roomops.screens.urls`."""

from django.urls import include, path

urlpatterns = [path("", include("roomops.screens.urls"))]
