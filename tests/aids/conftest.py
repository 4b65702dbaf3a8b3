"""A fixture of the tests of cauls."""

from __future__ import annotations

import pytest

from solids.aids.cauls import marks as caul_marks


@pytest.fixture
def unmarked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cauls without their letters: quick to prove, and their walls are those of the tool itself."""
    monkeypatch.setattr(caul_marks, "engraved", lambda body, *_, **__: body)
