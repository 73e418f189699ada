"""A rulebook's file as it is given."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from teamops.rules.files import MOST_BYTES, Book, read_file


class FileForm(forms.Form):
    """A file, or its text pasted; `book` is what it holds."""

    file = forms.FileField(label="The file", required=False, allow_empty_file=True)
    text = forms.CharField(
        label="Or its text",
        required=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
    )
    book: Book
    given: str

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        file = cleaned.get("file")
        raw = file.read(MOST_BYTES + 1) if file else cleaned.get("text", "").encode()
        if not raw.strip():
            self.add_error("file", "Choose a rulebook’s file, or paste its text below.")
            return cleaned
        try:
            self.book = read_file(raw)
            self.given = raw.decode("utf-8-sig")
        except ValidationError as refusal:
            self.add_error("file" if file else "text", refusal.messages)
        return cleaned
