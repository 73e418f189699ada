"""What better marks would have placed, and what may be hoped for next time."""

from teamops.calc.placing.coming import FieldShape, Form, Outlook, field_shape, form, outlook
from teamops.calc.placing.guessed import GuessedPlace, guess_place, guessed_field, normal_score
from teamops.calc.placing.known import Field, Where, guess_of, needed, place_of
from teamops.calc.placing.replay import Replay, move_marks, replay
from teamops.calc.placing.wording import (
    gains_sentence,
    move_words,
    outlook_sentence,
    percent_words,
    placed_words,
    signed,
    where_words,
)

__all__ = [
    "Field",
    "FieldShape",
    "Form",
    "GuessedPlace",
    "Outlook",
    "Replay",
    "Where",
    "field_shape",
    "form",
    "gains_sentence",
    "guess_of",
    "guess_place",
    "guessed_field",
    "move_marks",
    "move_words",
    "needed",
    "normal_score",
    "outlook",
    "outlook_sentence",
    "percent_words",
    "place_of",
    "placed_words",
    "replay",
    "signed",
    "where_words",
]
