"""Firmwrap's site: pages made from plans (render, figures) and their way into MkDocs (publish)."""
