"""The trade: pure functions on plain numbers, standard library only."""
