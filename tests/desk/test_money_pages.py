"""Money as the owner walks it: earned, priced, billed once, paid; and what is not."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from phases.actions.corrections import Finding, open_correction
from phases.models import Charge, DrawTerm, Fact, Invoice, PhaseKind, Photo, PhotoUse
from tests.desk.scene import NOW, Street, signed_in
from tracker.desk.money.queries import balances, change_groups

pytestmark = pytest.mark.django_db
SHA = "a" * 64


@pytest.fixture
def street():
    return Street(lots=2)


@pytest.fixture
def client():
    return signed_in("owner")[0]


def change(street, text, *, lot=0, at=NOW):
    phase = street.phase("topout", lot)
    finding = Finding(text=text, source="change", phase=phase, billable=True)
    return open_correction(phase.lot, finding, who=street.office, now=at)


def priced(client, first, *also, **more):
    form = {"amount": "450.25", "signer": "A. Wren", "on": "2026-03-03", **more}
    form["also"] = [str(row.pk) for row in also]
    return client.post(reverse("desk:money-price", args=[first.pk]), form)


def test_one_price_covers_the_changes_that_go_together(street, client):
    rows = [change(street, f"Change {n}") for n in range(3)]
    later = change(street, "Next week", at=NOW + timedelta(days=7))

    assert [len(group.rows) for group in change_groups()] == [3, 1]
    priced(client, rows[0], rows[1], rows[2])

    (charge,) = Charge.objects.all()
    assert (charge.amount, charge.text) == (Decimal("450.25"), "Change 0 (+2)")
    assert [group.rows for group in change_groups()] == [(later,)]
    # Again changes nothing: each is priced once, whoever asks.
    assert priced(client, rows[1]).status_code == 404
    priced(client, rows[0])
    assert Charge.objects.count() == 1


def test_a_change_of_another_lot_is_not_covered_by_the_price(street, client):
    first, foreign = change(street, "Here"), change(street, "There", lot=1)

    priced(client, first, foreign)

    assert [group.first for group in change_groups()] == [foreign]


def test_a_change_that_nobody_pays_leaves_the_list_with_its_reason(street, client):
    first, second = change(street, "One"), change(street, "Two")

    priced(client, first, second, act="waive", reason=" ")
    assert len(change_groups()) == 1
    priced(client, first, second, act="waive", reason="Our own mistake")

    assert (change_groups(), Charge.objects.count()) == ([], 0)
    fact = Fact.objects.get(kind="extra_waived")
    assert fact.payload["reason"] == "Our own mistake"
    assert set(fact.payload["changes"]) == {str(first.pk), str(second.pk)}


def test_an_extra_is_written_with_phase_photo_price_signer_and_date(street, client):
    phase = street.phase("topout")
    found = open_correction(
        phase.lot, Finding(text="Torn", photo=SHA), who=street.lead, now=NOW
    )
    assert PhotoUse.objects.get().correction == found.pk
    Photo.objects.create(
        **{"sha256": SHA, "file": "photos/a.jpg", "thumb": "thumbs/a.jpg"},
        **{"width": 640, "height": 480, "bytes_received": 9, "received_at": NOW},
    )
    page = reverse("desk:money-extra")
    form = {
        **{"lot": phase.lot_id, "sort": "backcharge", "text": "Stub-out torn"},
        **{"phase": phase.pk, "amount": "165.50", "signer": "A. Wren"},
        **{"on": "2026-03-03", "photo": SHA},
    }

    shown = client.get(page, {"lot": phase.lot_id}).content.decode()
    foreign = client.post(page, {**form, "photo": "b" * 64})
    assert Charge.objects.count() == 0
    done = client.post(page, form)

    charge = Charge.objects.get()
    assert f'value="{SHA}"' in shown
    assert (foreign.status_code, done.url) == (200, reverse("desk:money"))
    assert (charge.lot_phase, charge.photo, charge.sort) == (phase, SHA, "backcharge")
    assert (charge.amount, charge.signer) == (Decimal("165.50"), "A. Wren")
    bill = client.get(reverse("desk:money-builder", args=[street.builder.pk]))
    assert reverse("desk:photo", args=[SHA]) in bill.content.decode()


def test_before_a_lot_is_chosen_the_page_asks_only_for_it(street, client):
    page = client.get(reverse("desk:money-extra"))

    assert "which" in page.context
    assert page.context.get("lot") is None
    assert street.lots[0].name in page.content.decode()


def test_the_way_from_earned_to_paid_adds_up_to_the_cent(street, client):
    kind = PhaseKind.objects.get(code="topout")
    DrawTerm.objects.create(
        builder=street.builder, kind=kind, amount="3100.10", earned_on="cover"
    )
    client.post(
        reverse("desk:lot-dates", args=[street.lots[0].pk]),
        {
            **{"what": "cover", "phase": street.phase("topout").pk},
            **{"date": "2026-03-02", "status": "actual", "said_by": "A. Wren"},
        },
    )
    priced(client, change(street, "Loop"))
    page = reverse("desk:money-builder", args=[street.builder.pk])
    charges = list(Charge.objects.values_list("pk", flat=True))
    form = {"charge": charges[:1], "number": "V-1", "on": "2026-03-04"}

    sums = []
    for step in (
        lambda: client.post(page, form),
        lambda: client.post(page, {**form, "number": "V-2"}),
        lambda: client.post(
            reverse("desk:money-paid", args=[Invoice.objects.get().pk]),
            {"on": "2026-04-01"},
        ),
    ):
        step()
        (one,) = balances()
        assert one.earned == one.billed + one.unbilled
        sums.append((one.earned, one.billed, one.paid))

    whole, first = Decimal("3550.35"), Charge.objects.get(pk=charges[0]).amount
    assert sums == [(whole, first, 0), (whole, first, 0), (whole, first, first)]
    assert [row.number for row in Invoice.objects.all()] == ["V-1"]
    rows = client.get(reverse("desk:money-charges-csv")).content.decode()
    assert rows.count("V-1") == 1


def test_a_purchase_order_stands_beside_its_draw_and_in_the_csv(street, client):
    kind = PhaseKind.objects.get(code="topout")
    DrawTerm.objects.create(
        builder=street.builder, kind=kind, amount="3100", earned_on="cover"
    )
    phase = street.phase("topout")
    client.post(
        reverse("desk:lot-dates", args=[phase.lot_id]),
        {
            **{"what": "cover", "phase": phase.pk, "said_by": "A. Wren"},
            **{"date": "2026-03-02", "status": "actual"},
        },
    )
    page = reverse("desk:money-builder", args=[street.builder.pk])

    done = client.post(reverse("desk:money-order", args=[phase.pk]), {"number": "P77"})

    assert done.url == page
    assert 'value="P77"' in client.get(page).content.decode()
    rows = client.get(reverse("desk:money-charges-csv")).content.decode()
    assert ",P77,cover,2026-03-02,3100.00," in rows
