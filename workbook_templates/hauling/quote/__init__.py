"""The Quote sheet: a trailer with its options as they are sold, on one page for the customer.

What a price is stands on the Lot and on Options; nothing here asks of weights or of what is hauled.
"""
