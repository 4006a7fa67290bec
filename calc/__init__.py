"""Firmwrap's calculation: from the data of a crane to the plan that pre-tensions its hoist rope, and all around it.

Everything inside is SI: m, kg, N, s, rad.  Shares are fractions.  A load "in tonnes" is a mass.  Each package is a room
for one idea; pyproject.toml holds which room may import which.
"""

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent  # of the project
