"""Tabs that lost their link are waited for, but not without end."""

import pytest

from trialfit.web import serving


class Tab:
    def __init__(self, created: float, linked: bool, met: bool = True) -> None:
        self.created, self.has_socket_connection = created, linked
        self._delete_tasks = {"document": object()} if met and not linked else {}
        self.deleted = False

    def _cancel_delete_task(self, document: str) -> None:
        del self._delete_tasks[document]

    def delete(self) -> None:
        assert not self._delete_tasks  # else its end would come a second time
        self.deleted = True


@pytest.fixture
def tabs(monkeypatch):
    made = [Tab(float(k), linked=k % 5 == 0) for k in range(40)] + [Tab(100.0, linked=False, met=False)]
    monkeypatch.setattr(serving.Client, "instances", {str(k): tab for k, tab in enumerate(made)})
    return made


def test_the_oldest_that_are_gone_are_let_go_and_nobody_else(tabs):
    gone = [t for t in tabs if t._delete_tasks]
    serving._let_go_of_old_tabs()
    assert [t.deleted for t in gone] == [True] * (len(gone) - serving.MOST_GONE) + [False] * serving.MOST_GONE
    # one that has its link, and one that never had one yet, stay
    assert not any(t.deleted for t in tabs if t not in gone)
