"""What insight prints."""

from teamops.insight.pdf.entry import report_pdf
from teamops.insight.pdf.report import season_report_pdf

__all__ = ["report_pdf", "season_report_pdf"]
