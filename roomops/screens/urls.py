"""Every address of the tool."""

from django.urls import URLPattern, path

from roomops.screens.views import (
    account,
    chores,
    feeding,
    insects,
    not_here,
    papers,
    readings,
    sorting,
    today,
    walks,
    wrong,
)

urlpatterns: list[URLPattern] = [
    path("", today.today, name="today"),
    path("sign-in", account.sign_in, name="sign_in"),
    path("sign-out", account.sign_out, name="sign_out"),
    path("room", account.change_room, name="change_room"),
    path("light", account.lamps, name="light"),
    path("feeding", feeding.rounds, name="feeding"),
    path("feeding/<str:round_key>", feeding.tray, name="feeding_round"),
    path("feeding/<str:round_key>/not-here/<str:number>", not_here.not_here, name="not_here"),
    path("walks", walks.index, name="walks"),
    path("walk/<str:which>", walks.walk, name="walk"),
    path("readings", readings.rack, name="readings"),
    path("readings/<str:round_key>", readings.rack, name="readings"),
    path("clean", chores.clean, name="clean"),
    path("clean/<str:round_key>", chores.clean, name="clean"),
    path("bench", chores.bench, name="chores"),
    path("bench/<str:round_key>", chores.bench, name="chores"),
    path("insects", insects.shelf, name="insects"),
    path("insects/order", insects.order, name="insects_order"),
    path("insects/least", insects.least, name="insects_least"),
    path("insects/receive", insects.receive, name="insects_receive"),
    path("insects/<str:batch_key>", insects.batch, name="insects_batch"),
    path("papers", papers.papers, name="papers"),
    path("papers/print/<str:shift>", papers.printable, name="paper_page"),
    path("papers/<str:code>.pdf", papers.download, name="paper"),
    path("wrong", wrong.wrong, name="wrong"),
    path("sorting", sorting.sort, name="sorting"),
]
