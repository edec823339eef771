"""Catalogue tables: materials, bearings and the rules for what the maker did not tell. No brands."""
