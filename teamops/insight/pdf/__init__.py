"""What insight prints."""

from teamops.insight.pdf.entry import report_pdf

__all__ = ["report_pdf"]
