"""What mkdocs.yml sets for the site and `calc` needs to know.

May import: PyYAML, pyyaml-env-tag, calc.check.  Must not know: MkDocs, pages.
"""

from __future__ import annotations

from pathlib import Path

import yaml
from yaml_env_tag import add_env_tag

from calc import check
from calc.model import Profile

FILE = Path(__file__).resolve().parent.parent / "mkdocs.yml"


def site_profile() -> Profile:
    """The rulebook profile of the site.  Errors: files.Errors for one there is not."""
    settings = yaml.load(FILE.read_text(encoding="utf-8"), Loader=add_env_tag(_Settings))
    return check.profile(settings["extra"]["profile"])


class _Settings(yaml.SafeLoader):
    """Reads mkdocs.yml as MkDocs does, values from the environment included."""
