"""Where a rule of the trade or a limit comes from: a source by its title, or one of a few plain marks.

A mark says how far a figure can be trusted. `common practice` is what benches do and no one book owns; `from memory`
was recalled and not looked up; `your own sizes` is arithmetic on what the recipe says; `shop.toml` is the file of the
maker's own settings.
"""

from __future__ import annotations

COMMON_PRACTICE = "common practice"
FROM_MEMORY = "from memory"
OWN_SIZES = "your own sizes"
SHOP_FILE = "shop.toml"
NOYES = "W. Noyes, Handwork in Wood, 1910"
WOOD_HANDBOOK = "Wood Handbook, FPL-GTR-190, 2010, chapter 13"

MARKS = (COMMON_PRACTICE, FROM_MEMORY, OWN_SIZES, SHOP_FILE)
TITLES = (NOYES, WOOD_HANDBOOK)
SOURCES = (*MARKS, *TITLES)
"""All that a rule may name. A new source goes here by author or editor, title and year."""
