"""Content first, then renderers: text sheets of results."""
