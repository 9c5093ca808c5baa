"""What is asked about a fee."""

from django import forms


class FeeForm(forms.Form):
    amount = forms.DecimalField(
        required=False, min_value=0, max_digits=8, decimal_places=2
    )
    pays = forms.CharField(max_length=40)
    note = forms.CharField(max_length=400)


class PaidForm(forms.Form):
    on = forms.DateField()
