"""The page of the offline copy, what the scripts of every page are told, and the manifest of the site as an app."""

from __future__ import annotations

import json
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from hooks.text import addresses
from hooks.text.environment import render
from hooks.text.page import Page, headings, root
from hooks.text.words import Words


def page(env: Environment, words: Words, day: str) -> Page:
    """What of the site is on this phone, and how the copy works."""
    body = render(env, "offline.html", root=root(addresses.OFFLINE), day=day)
    return Page(
        address=addresses.OFFLINE,
        title=words.get("offline.title"),
        description=words.get("offline.description"),
        search_text=words.get("offline.search"),
        toc=headings(body),
        html=body,
    )


def settings(words: Words, old_after_days: int, search: dict[str, str]) -> str:
    """The line in front of frame.js: words and settings, the same for every page; `search` holds addresses."""
    told = {"words": words.get("frame.script"), "oldAfterDays": old_after_days, "search": search}
    return f"const firmwrap = {json.dumps(told, ensure_ascii=False)};\n"


def save_button(words: Words, crane: str, size: str) -> str:
    """What the page of a crane shows when its plans are saved by hand."""
    button = Markup('<p><button type="button" class="fw-button" data-save="{}">{}</button></p>')
    return str(button.format(crane, words.say("offline.save", size=size)))  # whole, to stand among ready HTML


def manifest(name: str, description: str) -> str:
    """The site as an app of a phone: the start page, in a window of its own."""
    icons: list[dict[str, Any]] = [
        {"src": "assets/icons/icon-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "assets/icons/icon-512.png", "sizes": "512x512", "type": "image/png"},
        {"src": "assets/icons/icon-maskable-512.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
        {"src": "assets/logo.svg", "sizes": "any", "type": "image/svg+xml"},
    ]
    told = {
        "name": name,
        "short_name": name,
        "description": description,
        "lang": "en",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": "#ffffff",
        "theme_color": "#12272e",
        "icons": icons,
    }
    return json.dumps(told, ensure_ascii=False) + "\n"
