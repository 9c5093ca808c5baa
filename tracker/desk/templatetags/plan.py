"""What the pages of plans need in their templates."""

from collections.abc import Mapping

from django import template

from phases.catalogue.tables import FixtureKind
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import PlanFixture

register = template.Library()


@register.simple_tag
def kind_name(kinds: Mapping[str, FixtureKind], code: str) -> str:
    """The name of a kind of fixture; an unknown code is shown as it is."""
    kind = kinds.get(code)
    if kind is None:
        return code
    return kind.name_es if reader_language() == "es" else kind.name_en


@register.simple_tag
def fixture_place(fixture: PlanFixture) -> str:
    """`wall, back, left`: where a fixture stands in its room."""
    codes = [fixture.place, fixture.wall, fixture.hand]
    language = reader_language()
    return ", ".join(in_language(f"at.{code}", language) for code in codes if code)
