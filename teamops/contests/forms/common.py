"""What the forms of contests share."""

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet

from teamops.contests.models import Entry
from teamops.contests.queries import box_words
from teamops.teams.models import Team, User


def people(team: Team, also: User | None = None) -> QuerySet[User]:
    """The team's people by name, and one who is named already and may have left since."""
    here = Q(memberships__team=team)
    if also is not None:
        here |= Q(pk=also.pk)
    return User.objects.filter(here).distinct().order_by("name", "pk")


class BoxChoice(forms.ModelChoiceField):
    """A box, named with its cook and window: a team may turn in two of one category."""

    def label_from_instance(self, obj: Entry) -> str:
        return box_words(obj)


def narrow(
    form: forms.ModelForm, name: str, rows: QuerySet[Any], empty: str = ""
) -> forms.ModelChoiceField:
    """Offer only these rows in a field; `empty` words the choice of none."""
    field = cast("forms.ModelChoiceField", form.fields[name])
    field.queryset = rows
    if empty:
        field.empty_label = empty
    return field


def refuse_with(form: forms.BaseForm, error: ValidationError) -> None:
    """Put an action's refusal back on the form: at the field it names, by name or by code."""
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for name, errors in error.error_dict.items():
        for one in errors:
            place = name if name in form.fields else one.code
            form.add_error(place if place in form.fields else None, one)
