"""An applied list is taken back while nothing was built on it."""

from datetime import date, timedelta

import pytest

from phases.actions.dates import say_date
from phases.log import Who
from phases.models import Fact
from tests.desk.import_scene import LIST, applied, counts, received
from tests.factories import (
    NOW,
    ensure_defaults,
    make_builder,
    make_member,
    make_plan,
)
from tracker.desk.imports.actions import (
    apply_import,
    undo_import,
    why_not_undo,
)
from tracker.errors import Refused
from tracker.sites.models import (
    Lot,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def stored(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def who():
    ensure_defaults()
    return Who(member=make_member("office"))


def test_an_import_is_undone_and_the_list_can_come_again(who):
    builder = make_builder()
    lot_import = applied(LIST, builder, who)

    undo_import(lot_import, who=who, now=NOW + timedelta(hours=1))

    assert Lot.objects.open().count() == 0
    assert set(Fact.objects.values_list("kind", flat=True)) == {
        "lot_made",
        "lot_retired",
    }
    again = applied(LIST, builder, who)
    assert counts(again) == {"new": 3}
    assert (Lot.objects.count(), Lot.objects.open().count()) == (3, 3)
    assert counts(applied(LIST, builder, who)) == {"unchanged": 3}


def test_undoing_a_change_brings_the_old_values_back(who):
    builder = make_builder()
    plan = make_plan(builder, code="1820")
    applied(LIST, builder, who)
    data = (
        b"Lot,Block,Subdivision,Address,Plan,Start\n1,A,Heron,99 Oak St,1820,3/4/2026\n"
    )
    lot_import = applied(data, builder, who)
    assert Lot.objects.get(label="1").plan == plan

    undo_import(lot_import, who=who, now=NOW)

    lot = Lot.objects.get(label="1")
    assert (lot.address, lot.plan, lot.retired_at) == ("12 Elm St", None, None)
    assert lot.dates.last().date is None


def test_what_was_built_on_is_not_undone_and_the_lot_is_named(who):
    builder = make_builder()
    lot_import = applied(LIST, builder, who)
    lot = Lot.objects.get(label="2")
    assert why_not_undo(lot_import) is None
    say_date(lot, what="start", date=date(2026, 4, 1), who=who, now=NOW)

    with pytest.raises(Refused, match="Lot 2, Block A"):
        undo_import(lot_import, who=who, now=NOW)

    assert "Lot 2, Block A" in str(why_not_undo(lot_import))
    assert Lot.objects.open().count() == 3


def test_an_import_is_applied_and_undone_once(who):
    builder = make_builder()
    lot_import = received(LIST, builder, who)
    with pytest.raises(Refused, match="nothing to undo"):
        undo_import(lot_import, who=who, now=NOW)
    apply_import(lot_import, who=who, now=NOW)
    with pytest.raises(Refused, match="applied already"):
        apply_import(lot_import, who=who, now=NOW)
    undo_import(lot_import, who=who, now=NOW)
    with pytest.raises(Refused, match="undone already"):
        undo_import(lot_import, who=who, now=NOW)
