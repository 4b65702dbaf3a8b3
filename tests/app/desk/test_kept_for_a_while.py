"""What is kept of pieces for a while: solids of those that were looked at last, and summaries for the shelf."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import pytest

from solids.app.desk.shelf import folder
from solids.app.desk.shelf.folder import Shelf, Summary, summary_of
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.text.shop_file import shop_of
from tests.app.desk.stand_ins import Proving, page, sitting_in, tray


def test_a_solid_that_is_not_kept_any_more_is_proved_anew(tmp_path: Path) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    proving = cast("Proving", sitting.hands.proving)
    with page(tmp_path, sitting) as client:
        at = client.get("api/piece/tool-tray").json()["proof"]["model_at"]
        assert client.get(at).status_code == 200
        proving.held = True
        for _ in range(3):
            proving.models.clear()
            assert client.get(at).status_code == 204
        assert proving.asked == [("tool-tray", 1)] * 2, "once more, and not with each question"
        assert client.get("api/model/tool-tray/7").status_code == 204
        assert client.get("api/model/nothing/1").status_code == 400
        assert len(proving.asked) == 2


def test_a_summary_that_was_begun_with_another_shop_is_not_kept_for_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tray(tmp_path)
    shelf = Shelf(tmp_path, NO_SHOP)
    inches = shop_of({"units": "in"})
    shops: list[Shop] = []

    def summed(text: str, name: str, shop: Shop) -> Summary:
        shops.append(shop)
        if len(shops) == 1:
            shelf.use(inches)  # by another thread, meanwhile
        return summary_of(text, name, shop)

    monkeypatch.setattr(folder, "summary_of", summed)
    for _ in range(3):
        shelf.recipes()
    assert shops == [NO_SHOP, inches]
