"""Faces: terminal and page. They parse and show; no formula lives here."""
