"""Every address of the tool."""

from django.urls import URLPattern, path

from roomops.screens.views import account, today

urlpatterns: list[URLPattern] = [
    path("", today.today, name="today"),
    path("sign-in", account.sign_in, name="sign_in"),
    path("sign-out", account.sign_out, name="sign_out"),
    path("lamps", account.lamps, name="lamps"),
]
