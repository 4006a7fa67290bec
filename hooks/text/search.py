"""What the search takes in beside the words of a page: those that people search by, from the words file."""

from __future__ import annotations

from hooks.text.words import Words


def searched(words: Words, address: str, content: str) -> str:
    """What search keeps of the page at an address, with the words people search by under its heading, or under the
    heading of the section they belong to.

    >>> words = Words({"search": {"also": "Also: {words}.", "words": {"a/": "frost", "a/#b": "tackle"}}})
    >>> searched(words, "a/", '<h1>A</h1><p>Lead.</p><h2 id="b">B</h2>')
    '<h1>A</h1><p>Also: frost.</p><p>Lead.</p><h2 id="b">B</h2><p>Also: tackle.</p>'
    """
    for place, more in words.get("search.words").items():
        at, _, section = place.partition("#")
        if at != address:
            continue
        start = content.index(f'id="{section}"') if section else 0
        end = content.index("</h", start) + len("</h1>")
        content = f"{content[:end]}<p>{words.say('search.also', words=more)}</p>{content[end:]}"
    return content
