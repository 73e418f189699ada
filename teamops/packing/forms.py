"""What is asked about a list's numbers, a line, a shortage and something to buy."""

from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError

from teamops.calc.demand import Condition
from teamops.inventory.fields import WeightField, plain_numbers
from teamops.inventory.models import Container, Kit
from teamops.packing.copies import placed
from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from teamops.packing.stages import PRESSES, Stage
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm

FIRE = (Condition.CHARCOAL, Condition.PELLET, Condition.GAS)
SITE = (
    Condition.OWN_MEAT, Condition.OWN_BOXES, Condition.ANCILLARY, Condition.NO_POWER_ON_SITE,
    Condition.NO_WATER_ON_SITE, Condition.NO_ICE_ON_SITE,
)  # fmt: skip
WEATHER = (Condition.HOT, Condition.COLD, Condition.RAIN, Condition.WIND, Condition.OVERNIGHT)


def _ticks(label: str, words: tuple[Condition, ...]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        choices=[(word.value, word.label.capitalize()) for word in words],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )


class NumbersForm(FriendlyForm, forms.ModelForm):
    """The numbers a list is worked out from, what is so on this trip, and the kits it takes."""

    fire = _ticks("Fire", FIRE)
    site = _ticks("The contest and its site", SITE)
    weather = _ticks("Weather and night", WEATHER)
    kits = forms.ModelMultipleChoiceField(
        Kit.objects.none(), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Pick a kit at least."},
    )  # fmt: skip
    with_starters = forms.BooleanField(
        label="Start with the starter list: what a steak contest usually takes",
        required=False,
        initial=True,
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = PackingList
        fields = [
            "title", "entries", "steaks", "cooks", "people", "days", "judge_bites", "cook_hours",
            "grills", "coolers", "canopies", "vehicles", "trailers",
        ]  # fmt: skip

    def __init__(self, *args: Any, kits: list[Kit], has_items: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain_numbers(self)
        on = self.initial.get("conditions", self.instance.conditions)
        for name, words in (("fire", FIRE), ("site", SITE), ("weather", WEATHER)):
            self.initial[name] = [word.value for word in words if word.value in on]
        if len(kits) > 1:
            field: Any = self.fields["kits"]
            field.queryset = Kit.objects.filter(pk__in=[kit.pk for kit in kits])
            known = not self.instance._state.adding
            taken = self.instance.kits.all() if known else kits
            self.initial["kits"] = [kit.pk for kit in taken]
        else:
            del self.fields["kits"]
        if has_items:
            del self.fields["with_starters"]

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The counts, under what they are about."""
        names = (
            ("Who and how long", ("entries", "steaks", "cooks", "people", "days", "cook_hours")),
            ("What for", ("judge_bites", "grills", "coolers", "canopies", "vehicles", "trailers")),
        )
        return [(title, [self[name] for name in some]) for title, some in names]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        on = {word for name in ("fire", "site", "weather") for word in typed.get(name, ())}
        self.instance.conditions = [word.value for word in Condition if word.value in on]
        return typed


class TickForm(forms.Form):
    """One press: the name of its button says what shall be so, its value names the line."""

    since = forms.IntegerField(required=False, min_value=0)
    left = forms.BooleanField(required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        pressed = [press for press in PRESSES if self.data.get(press)]
        if len(pressed) != 1:
            raise ValidationError("No such line.")
        typed["line"] = forms.UUIDField().clean(self.data[pressed[0]])
        typed["stage"], typed["on"] = PRESSES[pressed[0]]
        return typed


class BoardForm(forms.Form):
    """How a board is looked at: which stage, and whether only what is left."""

    stage = forms.ChoiceField(
        choices=[(stage.value, stage.value) for stage in Stage], required=False
    )
    left = forms.BooleanField(required=False)
    since = forms.IntegerField(required=False, min_value=0)


class BuyForm(forms.Form):
    """One press on the shopping list: `buy` or `put_back` names the line."""

    buy = forms.UUIDField(required=False)
    put_back = forms.UUIDField(required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        asked: list[UUID] = [typed[name] for name in ("buy", "put_back") if typed.get(name)]
        if len(asked) != 1:
            raise ValidationError("No such line.")
        return typed | {"line": asked[0], "on": bool(typed.get("buy"))}


class HaveForm(FriendlyForm, forms.Form):
    """We have only so much."""

    have = forms.DecimalField(label="We have only", min_value=0, max_digits=15, decimal_places=6)


class LineForm(FriendlyForm, forms.ModelForm):
    """A line that was worked out: how much of it, and a note."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = PackingLine
        fields = ["amount", "note"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain_numbers(self)


class OwnLineForm(FriendlyForm, forms.ModelForm):
    """A line added by hand."""

    box = forms.ModelChoiceField(
        Container.objects.none(), label="Container", required=False, empty_label="in none"
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = PackingLine
        fields = ["name", "amount", "unit", "group", "consumable", "note"]

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        boxes = Container.objects.for_team(team)
        box: Any = self.fields["box"]
        box.queryset = boxes
        plain_numbers(self)
        self.weight = WeightField(team.units)
        self.fields["weight"] = self.weight
        self.initial["weight"] = self.weight.shown(self.instance.mass_kg)
        if not self.instance._state.adding:
            self.initial["box"] = boxes.filter(name=self.instance.container).first()
        self.order_fields(["name", "amount", "unit", "box", "weight", "group", "consumable"])

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        if "weight" in self.changed_data and "weight" in typed:
            self.instance.mass_kg = self.weight.stored(typed["weight"])
        if "box" in typed and ("box" in self.changed_data or self.instance._state.adding):
            for name, value in placed(typed["box"]).items():
                setattr(self.instance, name, value)
        return typed


class ShoppingForm(FriendlyForm, forms.ModelForm):
    """Something to buy."""

    class Meta:
        model = ShoppingLine
        fields = ["name", "amount", "unit", "group", "packing_list", "note"]
        labels = {"packing_list": "For which trip"}

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain_numbers(self)
        self.instance.team = team
        lists: Any = self.fields["packing_list"]
        lists.queryset = PackingList.objects.for_team(team)
        lists.empty_label = "for none in particular"
        if self.instance.packing_line_id:  # it stands for a shortage of that trip's list
            del self.fields["packing_list"]
