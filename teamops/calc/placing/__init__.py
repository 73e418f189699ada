"""What better marks would have placed, and what may be hoped for next time."""

from teamops.calc.placing.coming import FieldShape, Form, Outlook, field_shape, form, outlook
from teamops.calc.placing.guessed import GuessedPlace, guess_place, normal_score
from teamops.calc.placing.replay import Replay, move_marks, replay
from teamops.calc.placing.wording import (
    guessed_sentence,
    outlook_sentence,
    replay_sentence,
    worth_sentence,
)

__all__ = [
    "FieldShape",
    "Form",
    "GuessedPlace",
    "Outlook",
    "Replay",
    "field_shape",
    "form",
    "guess_place",
    "guessed_sentence",
    "move_marks",
    "normal_score",
    "outlook",
    "outlook_sentence",
    "replay",
    "replay_sentence",
    "worth_sentence",
]
