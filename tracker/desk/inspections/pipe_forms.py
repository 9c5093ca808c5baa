"""What is asked about a test on the pipe."""

from typing import Any

from django import forms

from inspections.pipe_tests.records import MEDIA, METALS, PLASTICS, SYSTEMS
from phases.models import LotPhase
from tracker.desk.inspections.forms import day_field
from tracker.desk.templatetags.desk import named

READINGS = (
    ("start_psig", "Pressure at the start, psi"),
    ("end_psig", "Pressure at the end, psi"),
    ("start_f", "Temperature at the start, F"),
    ("end_f", "Temperature at the end, F"),
    ("head_ft", "Head of water, ft"),
    ("end_head_ft", "Head at the end, ft"),
    ("depth_in", "Depth at the threshold, in."),
    ("minutes", "Minutes held"),
    ("working_psig", "Working pressure, psi"),
    ("gauge_top_psi", "Gauge reads to, psi"),
    ("gauge_mark_psi", "Gauge marked every, psi"),
)
LEAKS = [("", "nobody looked"), ("no", "no leak"), ("yes", "leak")]


class ReadingForm(forms.Form):
    """Readings of one test; what is left empty was not written down."""

    def __init__(self, *args: Any, labels: dict[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in READINGS:
            self.fields[name] = forms.FloatField(label=label, required=False)
        choices = [(value, labels.get(text, text)) for value, text in LEAKS]
        self.fields["leak"] = forms.ChoiceField(
            label="Leak seen", choices=choices, required=False
        )

    def readings(self) -> dict[str, Any]:
        said = self.cleaned_data
        given = {name: said[name] for name, _ in READINGS if said[name] is not None}
        if said["leak"]:
            given["leak_seen"] = said["leak"] == "yes"
        return given


class PutUpForm(ReadingForm):
    """A test that is up: on which phase, of what, with what."""

    phase = forms.ModelChoiceField(LotPhase.objects.none(), label="Phase")
    system = forms.ChoiceField(label="System")
    medium = forms.ChoiceField(label="Tested with")
    material = forms.ChoiceField(label="Pipe of")

    def __init__(self, *args: Any, lot: Any, labels: dict[str, str], **kwargs: Any):
        super().__init__(*args, labels=labels, **kwargs)
        self.fields["phase"].queryset = lot.phases.select_related("kind")
        self.fields["phase"].label_from_instance = lambda phase: named(phase.kind)
        known = {"system": SYSTEMS, "medium": MEDIA, "material": (*PLASTICS, *METALS)}
        for name, words in known.items():
            self.fields[name].choices = [(x, labels.get(x, x)) for x in words]


class DownForm(forms.Form):
    caps_left = forms.IntegerField(
        label="Caps and plugs left in", min_value=0, max_value=200, initial=0
    )


class ForecastForm(forms.Form):
    on = day_field(label="Day")
    low_f = forms.FloatField(label="Coldest, F")
