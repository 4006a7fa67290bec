"""What mkdocs.yml sets for the site and `calc` needs to know."""

from __future__ import annotations

import yaml
from yaml_env_tag import add_env_tag

from calc import ROOT
from calc.checks import loader
from calc.data.model import Profile

FILE = ROOT / "mkdocs.yml"


def site_profile() -> Profile:
    """The rulebook profile of the site.  Errors: files.Errors for one there is not."""
    settings = yaml.load(FILE.read_text(encoding="utf-8"), Loader=add_env_tag(_Settings))
    return loader.profile(settings["extra"]["profile"])


class _Settings(yaml.SafeLoader):
    """Reads mkdocs.yml as MkDocs does, values from the environment included."""
