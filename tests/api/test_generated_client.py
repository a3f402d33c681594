"""A client made from the contract alone: it registers, writes, reads and plans on a live server."""

from __future__ import annotations

import importlib
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pytest_django.live_server_helper import LiveServer

from tests.api.making import a_client
from tests.api.test_condition import SERVICE
from tests.api.test_contract import FILE

PACKAGE = "registry_client"
# The generator knows no lines of JSON and no tables; both are files to it.
CONFIG = """
post_hooks: []
content_type_overrides:
  application/x-ndjson: application/octet-stream
  text/csv: application/octet-stream
"""


@pytest.fixture(scope="session")
def package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The client, generated without a warning; gives the folder it stands in."""
    folder = tmp_path_factory.mktemp("client")
    config = folder / "config.yaml"
    config.write_text(CONFIG)
    generator = Path(sys.executable).with_name("openapi-python-client")
    command: list[str | Path] = [
        generator,
        "generate",
        "--path",
        FILE,
        "--output-path",
        folder / PACKAGE,
    ]
    options: list[str | Path] = ["--meta", "none", "--config", config, "--fail-on-warning"]
    made = subprocess.run([*command, *options], capture_output=True, text=True)
    assert made.returncode == 0, made.stdout + made.stderr
    assert "warning" not in (made.stdout + made.stderr).lower()
    return folder


class Generated:
    """The generated package, spoken to by names of the contract."""

    def __init__(self, url: str, token: str) -> None:
        client = importlib.import_module(f"{PACKAGE}.client")
        self.client = client.AuthenticatedClient(
            base_url=url, token=token, raise_on_unexpected_status=True
        )

    def call(self, tag: str, operation: str, *path: str, **more: Any) -> Any:
        """Call an operation and give the parsed answer."""
        module = importlib.import_module(f"{PACKAGE}.api.{tag}.{operation}")
        answer = module.sync_detailed(*path, client=self.client, **more)
        assert answer.status_code < 300, answer.content
        return answer.parsed

    def model(self, name: str, document: dict[str, Any]) -> Any:
        """Make one of the generated models."""
        return getattr(importlib.import_module(f"{PACKAGE}.models"), name).from_dict(document)


@pytest.fixture
def generated(
    package: Path,
    live_server: LiveServer,
    transactional_db: None,
    monkeypatch: pytest.MonkeyPatch,
) -> Iterator[Generated]:
    """The client with a key of a shop; its connections are closed at the end."""
    monkeypatch.syspath_prepend(str(package))
    made = Generated(live_server.url, str(a_client("fellbench").token))
    with made.client:
        yield made


def test_a_day_at_the_bench(generated: Generated) -> None:
    new = {"ski": {"tag": "FB-0042"}, "body": {"length_mm": 1710, "waist_width_mm": 68.0}}
    registered = generated.call(
        "skis", "register_ski", body=generated.model("SkiRegistration", new)
    )
    assert registered.record.ski.tag == "FB-0042"

    visit = {
        "ski": {"shop": "fellbench", "tag": "FB-0042"},
        "performed_at": "2025-01-31",
        "body": SERVICE,
    }
    job = generated.call(
        "jobs",
        "write_job",
        body=generated.model("JobDraft", visit),
        idempotency_key="first-visit",
    )
    assert job.record.body.bevel_settings[0].side_bevel_deg == "2.00"
    assert job.record.body.measurements[0].value == "1.785"

    place = ("fellbench", "FB-0042")
    history = generated.call("skis", "read_history", *place, limit=10)
    assert [item.record.kind for item in history.items] == ["job", "description"]
    assert {item.state.value for item in history.items} == {"stands"}

    condition = generated.call("skis", "read_condition", *place)
    assert condition.bevels[0].side[0].stated.bevel_deg == "2.00"
    assert condition.material.known[0].left.value_mm == "1.785"

    tune = {"targets": {"both": {"side_angle_deg": 87}}, "wax": True}
    plan = generated.call("skis", "plan_tune", *place, body=generated.model("PlanRequest", tune))
    assert plan.verdict.outcome == "undecided"
    assert plan.verdict.measure_first[0].what == "edge_width"
    assert "side_bevel" in [step.operation for step in plan.steps]


def test_a_correction_and_the_ski(generated: Generated) -> None:
    new = {"ski": {"tag": "FB-0042"}, "body": {"length_mm": 1710}}
    generated.call("skis", "register_ski", body=generated.model("SkiRegistration", new))
    draft = {"ski": {"shop": "fellbench", "tag": "FB-0042"}, "performed_at": "2025-01-31"}
    use = generated.model("UsageDraft", {**draft, "body": {"days": 12}})
    wrong = generated.call("records", "write_usage", body=use)
    whole = {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 21}}
    body = {"body": {"reason": "typing_error", "replacement": whole}}
    request = generated.model("CorrectionRequest", body)
    generated.call("records", "write_correction", wrong.id, body=request)
    history = generated.call("skis", "read_history", "fellbench", "FB-0042")
    corrected = next(item for item in history.items if item.id == wrong.id)
    assert corrected.effective.body.days == 21
    ski = generated.call("skis", "read_ski", "fellbench", "FB-0042")
    assert ski.description.length_mm == 1710


def test_a_refusal_is_parsed_too(generated: Generated) -> None:
    module = importlib.import_module(f"{PACKAGE}.api.skis.read_ski")
    answer = module.sync_detailed("fellbench", "FB-9999", client=generated.client)
    assert answer.status_code == 404
    assert answer.parsed.type_ == "/docs/problems#unknown-ski"
    assert answer.parsed.request_id == answer.headers["X-Request-ID"]
