"""The sheets around the lot: Start, Tickets, Machines, Trucks, Limits, Incoming, Sources, and the demo
yard's rows.

Nothing here asks whether a machine fits.
"""
