"""Where to measure: a drawing of a trailer, a machine and a truck, every length lettered, and the sheet that shows it.

The drawing is written here as SVG; ``pictures/where-to-measure.png`` is that SVG as LibreOffice draws it. Figures of a
trailer, machine or truck on the lot play no part: that is What-if's side view.
"""
