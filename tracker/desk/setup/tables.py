"""Which tables the settings show, who may change them, and by what form."""

from dataclasses import dataclass

from django import forms
from django.db.models import Model

from phases.models import PhaseKind, ReadyPart, Route
from tracker.desk.setup import forms as ours
from tracker.people.models import Member
from tracker.sites.models import (
    Builder,
    Company,
    InspectionKind,
    Jurisdiction,
    Subdivision,
    Superintendent,
)


@dataclass(frozen=True)
class Table:
    slug: str
    title: str
    says: str
    model: type[Model]
    form: type[forms.ModelForm]
    owner_only: bool = False
    single: bool = False
    joins: tuple[str, ...] = ()

    def may_change(self, member: Member) -> bool:
        return member.is_owner or (member.is_office and not self.owner_only)


TABLES = {
    table.slug: table
    for table in (
        Table(
            "company",
            "Company",
            "Our name, and when holds and covers raise the alarm.",
            Company,
            ours.CompanyForm,
            owner_only=True,
            single=True,
        ),
        Table(
            "builders", "Builders", "Who builds the houses.", Builder, ours.BuilderForm
        ),
        Table(
            "superintendents",
            "Superintendents",
            "The builder's people on site.",
            Superintendent,
            ours.SuperintendentForm,
            joins=("builder",),
        ),
        Table(
            "subdivisions",
            "Subdivisions",
            "Streets of lots, with inspecting office and code book.",
            Subdivision,
            ours.SubdivisionForm,
            joins=("builder", "jurisdiction"),
        ),
        Table(
            "offices",
            "Inspecting offices",
            "Date rules, fees and local changes of each office.",
            Jurisdiction,
            ours.JurisdictionForm,
        ),
        Table(
            "kinds",
            "Kinds of inspection",
            "What each office inspects, and the phases that it proves.",
            InspectionKind,
            ours.InspectionKindForm,
            joins=("jurisdiction",),
        ),
        Table(
            "phases",
            "Phases",
            "The stages of the work, and what covers each.",
            PhaseKind,
            ours.PhaseKindForm,
            owner_only=True,
        ),
        Table(
            "readiness",
            "Readiness",
            "What somebody must say is there before a phase starts.",
            ReadyPart,
            ours.ReadyPartForm,
            joins=("kind",),
        ),
        Table(
            "routes",
            "Routes",
            "The phases that a house passes, by builder and foundation.",
            Route,
            ours.RouteForm,
            owner_only=True,
            joins=("builder",),
        ),
    )
}
