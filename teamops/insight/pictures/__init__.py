"""Pictures as SVG, drawn by matplotlib."""

from teamops.insight.pictures.trend import trend_picture

__all__ = ["trend_picture"]
