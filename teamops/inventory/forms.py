"""What is asked about an item, a container and a kit."""

from typing import Any

from django import forms

from teamops.inventory.fields import WeightField, plain_numbers
from teamops.inventory.models import Container, Item, Kit, KitLine
from teamops.teams.models import Team
from teamops.web.forms import FriendlyForm


class ItemForm(FriendlyForm, forms.ModelForm):
    """An item: what it is called, counted in and weighs, and where it rides."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Item
        fields = ["name", "group", "unit", "consumable", "container", "note"]
        field_order = ["name", "group", "unit", "weight", "container", "consumable", "note"]

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.team = team
        container: Any = self.fields["container"]
        container.queryset = Container.objects.for_team(team)
        container.empty_label = "in none"
        self.weight = WeightField(team.units)
        self.fields["weight"] = self.weight
        self.initial["weight"] = self.weight.shown(self.instance.mass_kg)
        self.fields["group"].widget.attrs |= {"list": "groups"}
        self.order_fields(self.Meta.field_order)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        if "weight" in self.changed_data and "weight" in typed:
            # an untouched weight stays to the milligram, in whatever units the team reads it now
            self.instance.mass_kg = self.weight.stored(typed["weight"])
        return typed


class KitLineForm(FriendlyForm, forms.ModelForm):
    """How much to bring of an item; `kit` may be left open, then no list asks for it by itself."""

    class Meta:
        model = KitLine
        fields = ["quantity", "rule", "condition", "kit"]

    def __init__(self, *args: Any, team: Team, kits: list[Kit], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain_numbers(self)
        kit: Any = self.fields["kit"]
        kit.queryset = Kit.objects.for_team(team)
        kit.choices = [("", "in no kit: put on lists by hand"), *((k.pk, k.name) for k in kits)]
        kit.required = False
        if not kits:
            del self.fields["kit"]
        elif self.instance._state.adding:
            self.initial["kit"] = kits[0].pk

    def line(self) -> KitLine | None:
        """The line as typed, or None where no kit was chosen."""
        return self.instance if "kit" not in self.fields or self.instance.kit_id else None


class ContainerForm(FriendlyForm, forms.ModelForm):
    """A container: its name, what it keeps apart, and its turn on the list."""

    class Meta:
        model = Container
        fields = ["name", "kind", "whole", "order"]

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.team = team


class KitForm(FriendlyForm, forms.ModelForm):
    """A kit: only its name; what is in it is said on each item."""

    class Meta:
        model = Kit
        fields = ["name"]

    def __init__(self, *args: Any, team: Team, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.team = team
