"""The build: every crane in turn, the whole site, its seal, release and archive.  Knows nothing of MkDocs."""
