"""Draws are earned once, billed once, and the sums agree to the cent."""

import random
from datetime import date
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from inspections.actions import record_result
from phases.actions.corrections import Finding, close_correction, open_correction
from phases.actions.dates import say_date
from phases.actions.money import bill, pay_piece, price_extra, record_payment
from phases.actions.work import plan_phase
from phases.log import Who
from phases.models import Charge, DrawTerm, PhaseKind, PiecePay, PieceRate
from tests.factories import (
    NOW,
    ensure_defaults,
    kind_of,
    make_builder,
    make_crew,
    make_lot,
    make_member,
    make_option,
    make_plan,
    make_subdivision,
    phase_of,
)
from tracker.desk.money.queries import balances
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
WED = date(2026, 3, 4)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def draw(builder, amount, *, phase="topout", **fields):
    ensure_defaults()
    return DrawTerm.objects.create(
        builder=builder,
        kind=PhaseKind.objects.get(code=phase),
        amount=Decimal(amount),
        **fields,
    )


def lot_of(builder, **fields):
    return make_lot(make_subdivision(builder=builder), **fields)


def passes(lot, who, result="passed"):
    record_result(lot, kind_of(lot), result=result, on=WED, who=who, now=NOW)


def standing():
    return Charge.objects.filter(voided_at=None)


def test_a_pass_earns_the_draw_once_however_often_it_is_said(office):
    builder = make_builder()
    draw(builder, "1200.50")
    lot = lot_of(builder)

    passes(lot, office)
    passes(lot, office)

    assert [c.amount for c in standing()] == [Decimal("1200.50")]


def test_a_plan_has_its_own_draw_and_an_option_is_paid_on_top(office):
    builder = make_builder()
    plan = make_plan(builder)
    option = make_option(plan)
    draw(builder, "1000")
    draw(builder, "1500", plan=plan)
    draw(builder, "80", plan=plan, option=option)
    lot = lot_of(builder, plan=plan, options=[option])

    passes(lot, office)

    amounts = sorted(c.amount for c in standing())
    assert amounts == [Decimal("80.00"), Decimal("1500.00")]


def test_a_draw_may_be_earned_by_the_cover_or_the_closing(office):
    builder = make_builder()
    draw(builder, "10", earned_on="cover")
    draw(builder, "20", phase="trim", earned_on="closing")
    lot = lot_of(builder)

    passes(lot, office)
    assert not standing().exists()
    for what, phase in (("cover", phase_of(lot)), ("closing", None)):
        say_date(
            lot,
            phase=phase,
            what=what,
            status="actual",
            date=WED,
            who=office,
            now=NOW,
        )

    assert sorted(c.amount for c in standing()) == [Decimal(10), Decimal(20)]


def test_a_pass_taken_back_voids_what_is_unbilled_and_credits_what_is_billed(office):
    builder = make_builder()
    draw(builder, "100")
    first, second = lot_of(builder), lot_of(builder)
    passes(first, office)
    passes(second, office)
    bill(
        builder,
        [Charge.objects.get(lot=first)],
        number="1",
        on=WED,
        who=office,
        now=NOW,
    )

    passes(first, office, "failed")
    passes(second, office, "failed")

    assert sorted(c.amount for c in standing()) == [Decimal(-100), Decimal(100)]
    passes(first, office)
    assert sum(c.amount for c in standing()) == Decimal(100)


def test_nothing_is_billed_twice(office):
    builder = make_builder()
    draw(builder, "100")
    passes(lot_of(builder), office)
    charges = list(standing())
    bill(builder, charges, number="1", on=WED, who=office, now=NOW)

    with pytest.raises(Refused, match="billed already"):
        bill(builder, charges, number="2", on=WED, who=office, now=NOW)
    with pytest.raises(Refused, match="exists already"):
        bill(builder, charges, number="1", on=WED, who=office, now=NOW)


def test_another_builders_charge_is_not_billed(office):
    builder, other = make_builder(), make_builder()
    draw(other, "100")
    passes(lot_of(other), office)

    with pytest.raises(Refused):
        bill(builder, list(standing()), number="1", on=WED, who=office, now=NOW)


def test_the_database_itself_refuses_a_second_draw(office):
    builder = make_builder()
    draw(builder, "100")
    passes(lot_of(builder), office)
    charge = standing().get()
    charge.pk = None

    with pytest.raises(IntegrityError), transaction.atomic():
        charge.save(force_insert=True)


def test_a_change_is_priced_once(office):
    lot = lot_of(make_builder(), plan=None)
    correction = open_correction(
        lot,
        Finding("Added sink", source="change", billable=True, phase=phase_of(lot)),
        who=office,
        now=NOW,
    )
    words = {
        "sort": "extra",
        "text": "Added sink",
        "amount": Decimal(380),
        "signer": "D. M.",
        "on": WED,
        "who": office,
        "now": NOW,
        "correction": correction,
    }
    price_extra(lot, **words)

    with pytest.raises(Refused, match="priced already"):
        price_extra(lot, **words)


def test_a_crew_is_paid_for_a_passed_phase_without_open_corrections(office):
    builder = make_builder()
    lot = lot_of(builder)
    crew = make_crew()
    phase = phase_of(lot)
    PieceRate.objects.create(kind=phase.kind, amount=Decimal(500))
    PieceRate.objects.create(kind=phase.kind, crew=crew, amount=Decimal(600))
    plan_phase(phase, crew=crew, start=WED, end=WED, who=office, now=NOW)
    with pytest.raises(Refused, match="not passed"):
        pay_piece(phase, on=WED, who=office, now=NOW)
    passes(lot, office)
    correction = open_correction(
        lot, Finding("Plate", phase=phase), who=office, now=NOW
    )
    with pytest.raises(Refused, match="corrections open"):
        pay_piece(phase, on=WED, who=office, now=NOW)
    close_correction(correction, who=office, now=NOW)

    pay_piece(phase, on=WED, who=office, now=NOW)

    with pytest.raises(Refused, match="paid already"):
        pay_piece(phase, on=WED, who=office, now=NOW)
    assert [p.amount for p in PiecePay.objects.all()] == [Decimal(600)]


def test_a_plumber_touches_no_money():
    plumber = Who(member=make_member("plumber"))
    with pytest.raises(Refused):
        bill(make_builder(), [], number="1", on=WED, who=plumber, now=NOW)


@pytest.mark.parametrize("seed", range(3))
def test_earned_is_billed_plus_unbilled_to_the_cent_after_random_work(office, seed):
    rng = random.Random(seed)
    builders = [make_builder(), make_builder()]
    for builder in builders:
        for phase in ("underground", "topout", "trim"):
            cents = rng.randrange(1, 500_000)
            draw(builder, Decimal(cents) / 100, phase=phase)
    lots = [lot_of(rng.choice(builders)) for _ in range(4)]
    kinds = ("ground", "topout", "final")

    for n in range(25):
        lot = rng.choice(lots)
        builder = lot.subdivision.builder
        if rng.random() < 0.6:
            result = rng.choice(["passed", "passed", "failed"])
            record_result(
                lot,
                kind_of(lot, rng.choice(kinds)),
                result=result,
                on=WED,
                who=office,
                now=NOW,
            )
        else:
            mine = standing().filter(invoice=None, lot__subdivision__builder=builder)
            chosen = [c for c in mine if rng.random() < 0.7]
            if chosen:
                invoice = bill(
                    builder, chosen, number=str(n), on=WED, who=office, now=NOW
                )
                if rng.random() < 0.5:
                    record_payment(invoice, on=WED, who=office, now=NOW)

    for balance in balances():
        mine = Charge.objects.filter(lot__subdivision__builder=balance.builder)
        # Counted by hand over every row, voided ones left out.
        earned = sum((c.amount for c in mine if c.voided_at is None), Decimal(0))
        billed = sum((c.amount for c in mine if c.invoice_id), Decimal(0))
        assert (balance.earned, balance.billed) == (earned, billed)
        assert balance.unbilled == sum(
            (c.amount for c in mine if c.voided_at is None and not c.invoice_id),
            Decimal(0),
        )
        # Earned is what the passed phases are worth, whatever happened on the way.
        worth = sum(
            (
                term.amount
                for lot in lots
                if lot.subdivision.builder_id == balance.builder.pk
                for term in DrawTerm.objects.filter(builder=balance.builder)
                if lot.phases.get(kind=term.kind_id).passed_on
            ),
            Decimal(0),
        )
        assert earned == worth
