"""The least that is asked before sheets can be typed."""

from datetime import date, timedelta
from typing import Any, cast

from django import forms

from teamops.contests.forms.entry import RulebookChoice
from teamops.contests.models import Category, Contest
from teamops.contests.queries import today_of
from teamops.rules.models import Rulebook
from teamops.rules.queries import default_rulebook, offered_rulebooks
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm, PlainCharField

SUNDAY = 6


class StartForm(FriendlyForm, forms.Form):
    """Which contest, which day, what was cooked and by whose rules; all but the name filled in."""

    name = PlainCharField(label="Contest", max_length=120)
    held_on = forms.DateField(label="Day of the turn-in", help_text="Filled in: last Sunday.")
    category_name = PlainCharField(
        label="Category",
        max_length=60,
        widget=forms.TextInput(attrs={"list": "categories", "autocomplete": "off"}),
    )
    rulebook = RulebookChoice(
        queryset=Rulebook.objects.none(),
        empty_label=None,
        help_text="Its criteria are the columns that you type into. You can write your own later.",
    )

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today_of(team)
        rulebook = cast("forms.ModelChoiceField", self.fields["rulebook"])
        rulebook.queryset = offered_rulebooks(team)
        rulebook.initial = default_rulebook(team)
        self.fields["held_on"].initial = last_sunday(self.today)
        self.categories = list(Category.objects.for_team(team))
        self.fields["category_name"].initial = (
            self.categories[0].name if self.categories else "Ribeye"
        )
        self.known = list(
            Contest.objects.for_team(team).past(self.today).values_list("name", flat=True)[:20]
        )

    def clean_held_on(self) -> date:
        day: date = self.cleaned_data["held_on"]
        if day > self.today + timedelta(days=1):  # another clock may be a day ahead
            raise forms.ValidationError(
                "That day has not come yet, so there are no sheets of it. Check the day."
            )
        return day

    def clean_category_name(self) -> str:
        return " ".join(self.cleaned_data["category_name"].split())


def last_sunday(today: date) -> date:
    """The latest Sunday, today if it is one."""
    return today - timedelta(days=(today.weekday() - SUNDAY) % 7)
