"""What the page's server hands on: reading a recipe, moving its handles, proving it and making its files."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from solids.app.desk.events import Event
    from solids.base.errors import Told
    from solids.layout import Layout
    from solids.layout.box.model import BoxLayout
    from solids.recipe.completing.shop import Shop

    Tell = Callable[[Event], None]
    Plan = Layout | BoxLayout

State = dict[str, Any]


class Reading(Protocol):
    """A recipe's text as it was understood: its tables, None where it is no TOML; its layout, None where it cannot be
    laid out; and then what is wrong with it."""

    @property
    def tables(self) -> dict[str, Any] | None:
        """The tables."""

    @property
    def plan(self) -> Plan | None:
        """The layout."""

    @property
    def problems(self) -> Sequence[Told]:
        """What is wrong."""


class Proving(Protocol):
    """Proves recipes, the newest first, and tells the pages of it: events "proof" and "trouble", from any thread."""

    def submit(self, name: str, version: int, text: str) -> None:
        """Asks for a proof."""

    def model(self, name: str, version: int) -> str | None:
        """The solid of a version as JSON; None where it is not at hand."""

    def forget(self, name: str) -> None:
        """Lets go of a recipe that nobody looks at any more."""

    def close(self) -> None:
        """Ends it."""


class Making(Protocol):
    """Makes the files of recipes."""

    def start(self, name: str, text: str, wanted: Sequence[str], tell: Tell) -> str:
        """Begins, and gives an id. `tell` gets the events "making" and "made", from any thread."""

    def stop(self, number: str) -> None:
        """Stops the work of an id; old files stay as they are."""

    def close(self) -> None:
        """Stops all."""


@dataclass(frozen=True)
class Hands:
    """All of it. `read` takes a text and whether a handle moves, and is quicker then; `state_of` takes what was read
    and the last layout that was good; `moved` takes tables, layout, the name of a handle and mm, and gives values by
    keys. The others take the folder of a piece's files: a record of each file (name, words, stale) beside the layout as
    it is now, one by its name, all as ZIP. `work_of` takes a layout and its proof, where that is known, and gives the
    order of work. `use_shop` puts another shop behind all recipes."""

    read: Callable[[str, bool], Reading]
    state_of: Callable[[Any, Plan | None], State]
    moved: Callable[[Mapping[str, Any], Plan, str, float], Mapping[str, Any]]
    proving: Proving
    making: Making
    made_in: Callable[[Path, Plan | None], list[dict[str, Any]]]
    made_file: Callable[[Path, str], Path]
    archive_of: Callable[[Path], bytes]
    work_of: Callable[[Plan, Mapping[str, Any] | None], State]
    use_shop: Callable[[Shop], None]


def hands_of(shop: Shop, out: Path, tell: Tell) -> Hands:
    """Those of the tool, with a maker's shop behind each recipe and files going into folders of `out`."""
    # The kernel is loaded by processes of their own, which begin at once.
    from solids.app.desk.piece.moves import moved
    from solids.app.desk.piece.state import read, state_of
    from solids.app.desk.piece.work import work_of
    from solids.app.desk.work.making import (
        Making as FileMaking,
    )
    from solids.app.desk.work.making import archive_of, made_file, made_in
    from solids.app.desk.work.proving import Proving as JointProving

    proving, making = JointProving(tell, shop), FileMaking(out, shop)

    def use_shop(other: Shop) -> None:
        proving.shop = making.shop = other

    return Hands(
        read=lambda text, live: read(text, proving.shop, live=live),
        state_of=state_of,
        moved=moved,
        proving=proving,
        making=making,
        made_in=made_in,
        made_file=made_file,
        archive_of=archive_of,
        work_of=work_of,
        use_shop=use_shop,
    )
