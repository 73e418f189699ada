"""A box of ours beside a rival's."""

from teamops.insight.queries.rival.gap import OurSide
from teamops.insight.queries.rival.page import GapRow, RivalPage, rival_page

__all__ = ["GapRow", "OurSide", "RivalPage", "rival_page"]
