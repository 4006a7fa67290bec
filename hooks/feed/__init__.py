"""Data files for other programs, and the page that says what they hold."""
