"""A machine on a trailer behind a truck: What-if, Match, Card, the drive-on and its picture.

Nothing here changes a file.
"""
