"""Texts with gaps, filled by Jinja: notes and pages are made from templates that lie in the package."""

from __future__ import annotations

from functools import cache
from importlib import resources

import jinja2


@cache
def template(package: str, name: str) -> jinja2.Template:
    """The template of this name in a package's folder. Values are escaped in templates of HTML. A line that holds
    nothing but a statement leaves no line behind."""
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(lambda name: (resources.files(package) / name).read_text("utf-8")),
        undefined=jinja2.StrictUndefined,
        autoescape=jinja2.select_autoescape(["html.jinja"]),
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template(name)
