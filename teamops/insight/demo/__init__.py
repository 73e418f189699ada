"""The demo season: an invented team's two seasons and what is coming, the same at every loading."""

from teamops.insight.demo.load import load_demo

__all__ = ["load_demo"]
