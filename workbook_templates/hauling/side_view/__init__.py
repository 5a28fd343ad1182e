"""The live side view: points on the Drive-on sheet, and the chart that they feed on What-if and on the Card.

What is drawn is of the row of the sweep that ``drive_on`` speaks of, so that words and picture name the same place.
Everything is an expression over the figures of What-if, without any sheet's name; the chart alone knows cells.
"""
