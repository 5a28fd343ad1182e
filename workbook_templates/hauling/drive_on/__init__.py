"""The Drive-on sheet: a machine swept onto a trailer, position by position, and the tightest place that this finds.

Everything here is an expression over the figures of What-if, without any sheet's name, and the sheet that shows them.
How the machine is drawn stands in ``side_view``; what is answered about it in ``what_if``.
"""
