"""Forms of members and crews."""

from typing import Any

from django import forms
from django.contrib.auth.forms import UsernameField

from phases.models import PhaseKind
from tracker.desk.lot.forms import said
from tracker.desk.templatetags.desk import named
from tracker.people.models import Crew, Member, Role


class MemberForm(forms.ModelForm):
    password = forms.CharField(
        label="New password",
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Empty: as it is. Who only uses a phone needs none.",
    )

    class Meta:
        model = Member
        fields = [
            *("name", "username", "role", "crew", "language"),
            *("phone", "email", "license_number", "is_active"),
        ]
        field_classes = {"username": UsernameField}
        labels = {
            "name": "Name",
            "username": "Sign-in name",
            "role": "Role",
            "crew": "Crew",
            "language": "Language",
            "phone": "Phone number",
            "email": "Email",
            "license_number": "License number",
            "is_active": "May sign in",
        }

    def __init__(self, *args: Any, by: Member, **more: Any) -> None:
        super().__init__(*args, **more)
        roles = list(Role) if by.is_owner else [Role.LEAD, Role.PLUMBER]
        self.fields["role"].choices = [(role.value, said(role.label)) for role in roles]
        self.fields["crew"].queryset = Crew.objects.filter(is_active=True)
        # The browser must not fill in the password of whoever sits here.
        self.fields["username"].widget.attrs["autocomplete"] = "off"
        self.fields["username"].widget.attrs.pop("autofocus", None)


class CrewForm(forms.ModelForm):
    skills = forms.MultipleChoiceField(
        label="Phases it is qualified for",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = Crew
        fields = ["name", "skills", "speed", "home", "is_active"]
        labels = {
            "name": "Name",
            "speed": "Speed (1 is usual)",
            "home": "Usual street",
            "is_active": "In use",
        }

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["skills"].choices = [
            (kind.code, named(kind)) for kind in PhaseKind.objects.all()
        ]
        self.fields["speed"].widget.attrs |= {"min": "0.1", "max": "5", "step": "0.05"}
