"""Words and how numbers stand in them: texts, both units, templates, what a page is.  Knows nothing of plans."""
