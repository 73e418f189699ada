"""What better marks would have been worth and would have placed, and what may come next."""

from teamops.insight.queries.placing.board import Better, better_marks, box_curve, rulebook_of
from teamops.insight.queries.placing.coming import Chosen, Hope, hope
from teamops.insight.queries.placing.curve import Curve
from teamops.insight.queries.placing.offers import Offers, offers, posting_words

__all__ = [
    "Better",
    "Chosen",
    "Curve",
    "Hope",
    "Offers",
    "better_marks",
    "box_curve",
    "hope",
    "offers",
    "posting_words",
    "rulebook_of",
]
