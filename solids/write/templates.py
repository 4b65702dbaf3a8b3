"""Texts with gaps, filled by Jinja: every note and page is made from a template beside the code that fills it."""

from __future__ import annotations

from functools import cache
from importlib import resources

import jinja2


@cache
def template(package: str, name: str, *, trim: bool = True) -> jinja2.Template:
    """The template of a name in a package's folder. Values are escaped where the name says that it is HTML. A line that
    holds nothing but a statement leaves no line behind, unless `trim` is off."""
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(lambda name: (resources.files(package) / name).read_text("utf-8")),
        undefined=jinja2.StrictUndefined,
        autoescape=jinja2.select_autoescape(["html.jinja"]),
        trim_blocks=trim,
        lstrip_blocks=trim,
        keep_trailing_newline=True,
    )
    return environment.get_template(name)
