"""From values to the text of one page: templates, the page's own style and script, and the policy that forbids all others."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import lru_cache
from importlib.resources import files
from typing import Any

import jinja2
from markupsafe import Markup

_STEERING = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""Signs that control or turn writing; texts lose them on their way into a template, texts in drawings here."""
_MARK = re.compile(rb"<!-- xmlcheck sha256 ([0-9a-f]{64}) -->\n\Z")


def page(template: str, **values: Any) -> str:
    """A template filled in. Every value is escaped, unless it is Markup of our own drawing."""
    style, script = _asset("page.css"), _asset("page.js")
    text = _environment().get_template(template).render(style=style, script=script, policy=_policy(style, script), **values)
    text = _STEERING.sub(" ", text)
    body = text if text.endswith("\n") else f"{text}\n"
    return f"{body}<!-- xmlcheck sha256 {hashlib.sha256(body.encode()).hexdigest()} -->\n"


def own_untouched(data: bytes) -> bool:
    """Whether a file is a page of ours that nobody has edited since."""
    mark = _MARK.search(data)
    return mark is not None and hashlib.sha256(data[: mark.start()]).hexdigest() == mark[1].decode()


def _policy(style: str, script: str) -> str:
    """No network, no frames, no forms, no style and no script but the two whose hashes are named."""
    return f"default-src 'none'; style-src '{_hash(style)}'; script-src '{_hash(script)}'; base-uri 'none'; form-action 'none'"


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


@lru_cache(maxsize=4)
def _asset(name: str) -> Markup:
    # What stands between the tags is what is hashed. The files are ours and hold no closing tag.
    return Markup("\n" + (files(__package__) / "templates" / name).read_text("utf-8"))


@lru_cache(maxsize=1)
def _environment() -> jinja2.Environment:
    loader = jinja2.FunctionLoader(lambda name: (files(__package__) / "templates" / name).read_text("utf-8"))
    return jinja2.Environment(
        loader=loader,
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_shown,
    )


def _shown(value: Any) -> Any:
    """A text without what no reader can be shown: control characters, signs that turn the direction, halves of characters."""
    if isinstance(value, Markup) or not isinstance(value, str) or value.isprintable():
        return value
    return "".join(sign if sign.isprintable() else " " for sign in value)
