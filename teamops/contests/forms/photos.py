"""What is asked about photos, and about how a box was cooked."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from teamops.contests.fields import TemperatureField, say_units
from teamops.contests.models import Entry, EntryPhoto
from teamops.web.forms import FriendlyForm, PlainCharField

MOST_AT_ONCE = 12


class PicturesInput(forms.FileInput):
    """A phone's own pictures, several at once."""

    allow_multiple_selected = True


class PhotosForm(FriendlyForm, forms.Form):
    """Photos to add: one from the camera, or some that were taken; what they show, and a note."""

    shows = forms.ChoiceField(
        label="What it shows",
        choices=EntryPhoto.Shows.choices,
        initial=EntryPhoto.Shows.BOX,
        widget=forms.RadioSelect,
    )
    camera = forms.Field(
        label="Take a photo",
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
    )
    photos = forms.Field(
        label="Or choose some that you took",
        required=False,
        help_text=f"JPEG, PNG or WebP, 10 MB each at most, {MOST_AT_ONCE} at once.",
        widget=PicturesInput(attrs={"accept": "image/*"}),
    )
    note = PlainCharField(label="Note", required=False, max_length=200)

    def __init__(self, *args: Any, too_large: list[str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.too_large = too_large or []

    @property
    def uploads(self) -> list[UploadedFile]:
        """Everything that came, from the camera and from the phone's pictures."""
        files: Any = self.files
        if not files:
            return []
        return [*files.getlist("camera"), *files.getlist("photos")]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if len(self.uploads) > MOST_AT_ONCE:
            self.add_error("photos", f"Add {MOST_AT_ONCE} photos at once at most, then the rest.")
        elif not self.uploads and not self.too_large:
            self.add_error("photos", "Take a photo, or choose one.")
        return cleaned


class NoteCookForm(FriendlyForm, forms.ModelForm):
    """Doneness as seen, and three temperatures that are not the same thing."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    pull_c = TemperatureField(help_text="What the thermometer said as it came off the fire.")
    last_seen_c = TemperatureField(
        help_text="The last number you saw before the probe came out or you stopped looking."
    )
    peak_c = TemperatureField(
        help_text="The highest it reached while it rested, if you watched it to the top."
    )

    class Meta:
        model = Entry
        fields = ["doneness_seen", "pull_c", "last_seen_c", "peak_c"]
        widgets = {"doneness_seen": forms.RadioSelect}
        labels = {"doneness_seen": "Doneness, as you saw it in the cut"}

    temperatures = (
        ("pull_c", "Pull"), ("last_seen_c", "Last seen"), ("peak_c", "Peak")
    )  # fmt: skip

    def __init__(self, *args: Any, units: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen"].initial = self.instance.version
        for name, label in self.temperatures:
            say_units(self, name, label, units)
