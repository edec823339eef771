"""Compiled scalar kernels, SI in, SI out. No files, no other room."""
