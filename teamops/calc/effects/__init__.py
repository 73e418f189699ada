"""Did a change matter: contest averages compared, with ranges honest for a few contests."""

from teamops.calc.effects.change import (
    change_effect,
    change_of_numbers,
    effect_of_averages,
)
from teamops.calc.effects.confounded import companions, confounded, switched_once
from teamops.calc.effects.plan import contests_needed, on_off_plan, still_needed
from teamops.calc.effects.records import ChangeEffect, Effect, Span, Verdict, luck_bound
from teamops.calc.effects.wording import (
    companions_sentence,
    confounded_sentence,
    corrected_sentence,
    crowded_sentences,
    effect_sentence,
    first_needed_sentence,
    guess_sentence,
    leaning_sentence,
    luck_sentence,
    lucky_sentence,
    needed_sentence,
    signed,
    switched_sentence,
    verdict_words,
)
from teamops.calc.effects.worth import guessed_gain

__all__ = [
    "ChangeEffect",
    "Effect",
    "Span",
    "Verdict",
    "change_effect",
    "change_of_numbers",
    "companions",
    "companions_sentence",
    "confounded",
    "confounded_sentence",
    "contests_needed",
    "corrected_sentence",
    "crowded_sentences",
    "effect_of_averages",
    "effect_sentence",
    "first_needed_sentence",
    "guess_sentence",
    "guessed_gain",
    "leaning_sentence",
    "luck_bound",
    "luck_sentence",
    "lucky_sentence",
    "needed_sentence",
    "on_off_plan",
    "signed",
    "still_needed",
    "switched_once",
    "switched_sentence",
    "verdict_words",
]
