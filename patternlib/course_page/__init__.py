"""The course as a page: a folder of files for any web server; all runs in the visitor's browser."""

from .building import build_page

__all__ = ["build_page"]
