"""Spoilt input for everything that reads: it is read, or refused in one plain sentence.

Run by hand, for as long as one likes: ``.venv/bin/python -m tests.fuzz --seconds 60``. Whatever is
found is told with the words that make it happen again.
"""
