"""Where a row's rule comes from, in words that several rows share."""

from __future__ import annotations

COMMON = "common practice, no source"
ARITHMETIC = "arithmetic"
MOMENTS = "equilibrium of moments"
GEOMETRY = "plane geometry"
