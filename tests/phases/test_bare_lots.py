"""Many lots at once stand as lots made one by one do."""

from datetime import date

import pytest

from phases.actions.bare_lots import BareLot, create_bare_lots
from phases.actions.dates import say_date
from phases.actions.lots import create_lot
from phases.log import Who
from phases.models import Fact, LotPhase
from tests.factories import NOW, ensure_defaults, make_member, make_subdivision
from tracker.errors import Refused
from tracker.sites.models import BuilderDate, Lot

pytestmark = pytest.mark.django_db
DAY = date(2026, 4, 1)


@pytest.fixture
def street():
    ensure_defaults()
    return make_subdivision()


def who():
    return Who(member=make_member("office"))


def seen(lot):
    """What of a lot does not depend on which one it is."""
    hidden = {"id", "lot_id", "label", "refreshed_at", "no", "op", "lot_phase_id"}
    phases = LotPhase.objects.filter(lot=lot).order_by("position").values()
    facts = Fact.objects.filter(lot=lot).values()
    dates = BuilderDate.objects.filter(lot=lot).values()
    history = Lot.history.filter(id=lot.pk).values("history_type", "label")
    rows = [*phases, *facts, *dates]
    shown = [{k: v for k, v in row.items() if k not in hidden} for row in rows]
    for row in shown:
        row.pop("fact_no", None)
    return shown, [row["history_type"] for row in history]


def test_they_have_the_phases_facts_dates_and_history_of_one_made_alone(street):
    by = who()
    alone = create_lot(street, who=by, now=NOW, label="1", position=1)
    say_date(alone, what="start", date=DAY, who=by, now=NOW, said_by="lot list")

    made = create_bare_lots(
        [
            BareLot(street, {"label": str(n), "position": 1}, {"start": DAY})
            for n in (2, 3)
        ],
        said_by="lot list",
        who=by,
        now=NOW,
    )

    assert [lot.label for lot in made] == ["2", "3"]
    assert seen(made[0]) == seen(made[1]) == seen(alone)
    assert len({fact.no for fact in Fact.objects.all()}) == 6


def test_one_that_cannot_be_leaves_none(street):
    with pytest.raises(Refused):
        create_bare_lots(
            [BareLot(street, {"label": "1"}), BareLot(street, {"colour": "red"})],
            said_by="",
            who=who(),
            now=NOW,
        )

    assert Lot.objects.count() == 0


def test_only_the_office_makes_lots(street):
    with pytest.raises(Refused):
        create_bare_lots(
            [BareLot(street, {"label": "1"})],
            said_by="",
            who=Who(member=make_member("plumber")),
            now=NOW,
        )
