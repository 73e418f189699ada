"""What is asked before the lid closes."""

from typing import Any
from uuid import uuid4

from django import forms

from teamops.contests.queries.box import Question
from teamops.web.forms import PlainCharField

RIGHT, WRONG = "right", "wrong"


class BoxForm(forms.Form):
    """One answer a question, each of its own: there is no press for all of them."""

    check = forms.UUIDField(widget=forms.HiddenInput, required=False)
    note = PlainCharField(
        label="What is not right, or what you did", max_length=200, required=False
    )

    def __init__(self, *args: Any, questions: list[Question], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["check"].initial = uuid4
        self.questions = questions
        for one in questions:
            self.fields[one.key] = forms.ChoiceField(
                label=one.ask,
                required=False,
                choices=[(RIGHT, "Right"), (WRONG, "Not right")],
                widget=forms.RadioSelect,
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.answers:
            self.add_error(None, "Answer at least one: a check is a look at the box.")
        return cleaned

    @property
    def answers(self) -> dict[str, bool]:
        typed = ((one.key, self.cleaned_data.get(one.key)) for one in self.questions)
        return {key: answer == RIGHT for key, answer in typed if answer}

    @property
    def asked(self) -> list[forms.BoundField]:
        return [self[one.key] for one in self.questions]
