"""Drawings on paper and screen. The only place where y is turned over and cm become mm."""
