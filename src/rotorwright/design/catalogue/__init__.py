"""Generic part data with sources."""
