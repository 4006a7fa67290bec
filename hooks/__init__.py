"""The site: pages, figures and data files made from what `calc` computes.  `publish` alone knows MkDocs."""
