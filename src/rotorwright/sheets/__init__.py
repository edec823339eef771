"""Sheets: what a maker is shown, as data first (sentences, tables, pictures), then drawn for terminal or JSON."""
