"""Every address of the server with anything at all sent to it: it answers, and never with a fault of its own."""

import pytest

pytest.importorskip("nicegui")
schemathesis = pytest.importorskip("schemathesis")

from hypothesis import HealthCheck, Phase, given, settings  # noqa: E402

pytestmark = pytest.mark.slow


def test_anything_sent_is_answered(listed):
    schema = schemathesis.openapi.from_url(f"{listed.address}/openapi.json")
    operations = [found.ok() for found in schema.get_all_operations()]
    # the five of our own: a list that is empty would test nothing
    assert {o.path for o in operations} >= {"/readings", "/photos/{ident}", "/photos/{name}", "/sheets/{name}",
                                            "/faces/{name}", "/assets/{name}"}
    for operation in operations:
        before = {p.name for p in listed.path.parent.iterdir()}
        seen: list[int] = []

        @settings(max_examples=20, deadline=None, database=None, phases=[Phase.generate],
                  suppress_health_check=list(HealthCheck))
        @given(case=operation.as_strategy())
        def answered(case):
            answer = case.call()
            seen.append(answer.status_code)  # noqa: B023
            assert answer.status_code < 500 or answer.status_code == 507
            assert "Traceback" not in answer.text
            assert str(listed.path.parent) not in answer.text

        answered()
        assert seen
        assert {p.name for p in listed.path.parent.iterdir()} - before <= {"photos"}
    assert listed.path.read_text(encoding="utf-8").startswith("trialfit: 1\nreadings:\n  - tape a b 600 mm")
    assert "Traceback" not in listed.path.with_suffix(".log").read_text(encoding="utf-8")
