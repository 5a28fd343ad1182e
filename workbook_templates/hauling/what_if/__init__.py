"""The What-if sheet: choices, figures, answers. Nothing here is about a whole lot."""
