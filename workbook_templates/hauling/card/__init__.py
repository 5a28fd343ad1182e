"""The Card sheet: what is chosen on What-if, as a page for the customer. Nothing here asks a question of its own."""
