"""Addresses of the money pages; they stand inside the desk's own namespace."""

from django.urls import path

from tracker.desk.money import price_views, views

urlpatterns = [
    path("money/", views.money, name="money"),
    path("money/builders/<int:pk>/", views.builder_money, name="money-builder"),
    path("money/invoices/<int:pk>/payment/", views.invoice_paid, name="money-paid"),
    path("money/extras/", views.extra, name="money-extra"),
    path("money/changes/<uuid:pk>/price/", views.price_change, name="money-price"),
    path("money/phases/<int:pk>/order/", views.order, name="money-order"),
    path("money/phases/<int:pk>/pay/", views.pay, name="money-pay"),
    path("money/prices/", price_views.price_list, name="money-prices"),
    path(
        "money/prices/draw/<int:pk>/removal/",
        price_views.price_gone,
        {"table": "draw"},
        name="money-draw-removal",
    ),
    path(
        "money/prices/piece/<int:pk>/removal/",
        price_views.price_gone,
        {"table": "piece"},
        name="money-piece-removal",
    ),
    path("money/charges.csv", views.charges_csv, name="money-charges-csv"),
    path("money/crew-pay.csv", views.pay_csv, name="money-pay-csv"),
]
