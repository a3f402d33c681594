"""The command that measures the main paths against plainer ways, on the demo's fleet."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils import timezone

from apps.records.canonical import canonical_bytes
from apps.records.reading import compose, read_draft
from apps.registry import models
from apps.registry.actions import append_records
from apps.registry.submissions import Submission
from service_registry.benchmark import synthetic
from service_registry.benchmark.bundle_paths import bundle_paths
from service_registry.benchmark.fleet_paths import fleet_paths, outlook_path
from service_registry.benchmark.like_fleet import fill
from service_registry.benchmark.measuring import measure
from service_registry.benchmark.paths import like_path, reading_paths, writing_path
from service_registry.commands.serving import prepare_database
from service_registry.demo.loading import LoadedShop, load
from service_registry.demo.scenario import DEFAULT_SEED, make_scenario
from service_registry.demo.shops import HIRE
from service_registry.demo.surroundings import clear, is_inside, step_inside

if TYPE_CHECKING:
    from argparse import _SubParsersAction

WRITTEN = 40
BUNDLED = 200
# The plainer way to an outlook takes minutes over the large fleet.
SMALLER = 20
DESCRIBED, MODELS = 20_000, 2_000
ASKED = range(0, MODELS, 500)


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``benchmark``."""
    parser = commands.add_parser(
        "benchmark", help="measure the main paths against plainer ways, on a database of its own"
    )
    parser.add_argument("--runs", type=int, default=7, help="runs of each; the median counts")
    parser.add_argument("--fleet", type=int, default=20_000, help="skis of the invented fleet")
    parser.add_argument("--folder", type=Path, help="its folder; DATA_DIR/benchmark unless given")
    parser.set_defaults(command=benchmark)


def benchmark(options: argparse.Namespace) -> int:
    """Load the demo's fleet on a database of its own, measure, and print rates and ratios."""
    folder = (options.folder or settings.DATA_DIR / "benchmark").absolute()
    if not is_inside(folder, os.environ):
        step_inside(folder, _again(options, folder))
    clear(folder)
    prepare_database(verbosity=0)
    shops = load(make_scenario(DEFAULT_SEED, timezone.now().date()), DEFAULT_SEED)
    for line in results(shops[HIRE.code], runs=options.runs):
        print(line, flush=True)
    for line in fleet_results(options.fleet, runs=options.runs):
        print(line, flush=True)
    return 0


def _again(options: argparse.Namespace, folder: Path) -> list[str]:
    words = {"--runs": options.runs, "--fleet": options.fleet, "--folder": folder}
    return ["benchmark", *(str(word) for pair in words.items() for word in pair)]


def results(shop: LoadedShop, *, runs: int) -> Iterator[str]:
    """Measure every path, and give the lines to print."""
    keys = list(models.Ski._default_manager.order_by("key").values_list("key", flat=True))
    for path in reading_paths(keys):
        yield from measure(path, runs=runs).lines
    batch, one_by_one = _new_records(shop, keys), _new_records(shop, keys)
    # New records can be appended only once, so this is a single run.
    yield from measure(writing_path(batch, one_by_one, shop.actor), runs=1).lines
    for path in bundle_paths(_long_history(shop, keys)):
        yield from measure(path, runs=runs).lines
    fill(DESCRIBED, kinds=MODELS)
    yield from measure(like_path(ASKED), runs=runs).lines


def fleet_results(skis: int, *, runs: int) -> Iterator[str]:
    """Measure the paths over an invented fleet of many skis, and give the lines to print."""
    large, small = (f"{code}@{settings.NODE_HOST}" for code in ("large-fleet", "small-fleet"))
    synthetic.fill(large, skis)
    synthetic.fill(small, skis // SMALLER)
    synthetic.analyse()
    for path in (*fleet_paths(large), outlook_path(small)):
        yield from measure(path, runs=runs).lines


def _long_history(shop: LoadedShop, keys: list[str]) -> models.Tag:
    """Write records on one ski until it has as many as a bundle is measured with."""
    tag = _own_tags(shop, keys)[0]
    there = models.Record.objects.of_tags([f"{shop.actor.handle}/{tag}"]).count()
    new = list(_records_on(shop, [tag] * (BUNDLED - there)))
    append_records(submissions=new, by=shop.actor)
    return models.Tag.objects.find(shop.actor.handle, tag)


def _own_tags(shop: LoadedShop, keys: list[str]) -> list[str]:
    return [key.split("/")[1] for key in keys if key.startswith(f"{shop.actor.handle}/")]


def _new_records(shop: LoadedShop, keys: list[str]) -> Iterator[Submission]:
    return _records_on(shop, _own_tags(shop, keys)[:WRITTEN])


def _records_on(shop: LoadedShop, tags: Sequence[str]) -> Iterator[Submission]:
    for tag in tags:
        draft = read_draft(
            "bevel-setting",
            {
                "ski": {"shop": shop.actor.handle, "tag": tag},
                "performed_at": timezone.now().date().isoformat(),
                "body": {"edge": "both", "side_bevel_deg": "2.00"},
            },
            node_host=settings.NODE_HOST,
        )
        data = canonical_bytes(compose(draft, author=shop.actor.handle, key=shop.key.key_id))
        yield Submission(data=data, signature=shop.key.sign_text(data))
