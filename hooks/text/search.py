"""What the search takes in beside the words of a page: those that people search by, from the words file."""

from __future__ import annotations

import re

from hooks.text.words import Words

FIRST = re.compile(r"\s*<p>((?:(?!</p>).)*)</p>", re.DOTALL)  # a paragraph right under a heading


def searched(words: Words, address: str, content: str) -> str:
    """What search keeps of the page at an address, with the words people search by behind the first paragraph of it or
    of the section they belong to: a hit shows the paragraph that holds the word, so the answer stands with it.

    >>> words = Words({"search": {"also": "Also: {words}.", "words": {"a/": "frost", "a/#b": "tackle"}}})
    >>> searched(words, "a/", '<h1>A</h1><p>Lead.</p><h2 id="b">B</h2>')
    '<h1>A</h1><p>Lead. Also: frost.</p><h2 id="b">B</h2><p>Also: tackle.</p>'
    """
    for place, more in words.get("search.words").items():
        at, _, section = place.partition("#")
        if at != address:
            continue
        start = content.index(f'id="{section}"') if section else 0
        end = content.index("</h", start) + len("</h1>")
        said, first = words.say("search.also", words=more), FIRST.match(content, end)
        if first:
            ended = "" if first[1].rstrip().endswith((".", ":")) else "."
            content = f"{content[: first.end(1)]}{ended} {said}{content[first.end(1) :]}"
        else:
            content = f"{content[:end]}<p>{said}</p>{content[end:]}"
    return content
