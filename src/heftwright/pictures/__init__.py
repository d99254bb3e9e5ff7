"""Pictures before tables: drawn once as SVG, for screen, paper, download and terminal."""

from heftwright.pictures.palette import DARK, LIGHT, PAPER, SCREEN, Palette
from heftwright.pictures.table import ChartTable

__all__ = ["DARK", "LIGHT", "PAPER", "SCREEN", "ChartTable", "Palette"]
