"""Drawings on pages of true size: cut into pages, and written as PDF."""
