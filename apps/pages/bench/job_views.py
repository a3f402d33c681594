"""Writing a job: fill in, look at what would be written, write it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.bench.job_documents import JobOfSki, drafts_of, jobs_of, refused
from apps.pages.bench.job_form import SECTIONS, JobForm, JobStart, fresh_start, typed_start
from apps.pages.bench.job_from_plan import planned_start
from apps.pages.bench.job_shown import records_shown
from apps.pages.bench.on_bench import OnBench, lay_on_bench, tag_of
from apps.pages.bench.plan_views import planned_tune
from apps.pages.bench.views import about
from apps.pages.sentences import caution_sentence
from apps.pages.ski.unknown import unknown_ski
from apps.pages.ski.viewer import Viewer
from apps.pages.visitor import PageRequest, writer
from apps.pages.writing import SPENT, TOKEN, digest_of, new_token, write_once
from apps.records.envelope import Draft
from apps.registry.errors import IdempotencyMismatch, RegistryError, UnknownTag
from apps.registry.models import KeptKey

ALONE = "alone"
ROW = "__row__"
CAUTIONS: Mapping[str, tuple[str, ...]] = {
    "steps": ("sharp-edges", "steel-chips", "no-gloves-at-wheel", "grinding-dust"),
    "wax": ("wax-fume", "no-flame-near-fluoropolymer", "base-heat"),
    "repair": ("repair-fume", "glue-fume"),
    "binding": ("binding-inspect-only",),
}


@require_http_methods(["GET", "POST"])
@writer
def job(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Show the form of a job, or take what was filled in."""
    try:
        lying = lay_on_bench(shop, tag, request.visitor)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    given = request.POST if request.method == "POST" else request.GET
    bench = lying.alone() if given.get(ALONE) else lying
    if request.method == "POST":
        return _sent(request, bench)
    form = JobForm(bench, request.visitor.unit, start=_start(request, bench))
    return _page(request, form, token=new_token())


def _start(request: PageRequest, bench: OnBench) -> JobStart:
    """Give what a fresh form holds: what the plan in its address asks for, if there is one."""
    member = request.visitor.member
    alias = member.alias if member else ""
    query = request.GET.copy()
    query.pop(ALONE, None)
    planned = planned_tune(bench.ski, query, request.visitor)
    if planned.plan is None:
        return fresh_start(alias)
    return planned_start(planned.plan, planned.form, alias)


def _sent(request: PageRequest, bench: OnBench) -> HttpResponse:
    data = request.POST.dict()
    token = data.get("once", "")
    if not TOKEN.fullmatch(token):
        token = new_token()
    add = data.get("add", "")
    if add in SECTIONS:
        form = JobForm(bench, request.visitor.unit, start=typed_start(data, add=add))
        return _page(request, form, token=token, added=add)
    return _checked(request, JobForm(bench, request.visitor.unit, data=data), token)


def _checked(request: PageRequest, form: JobForm, token: str) -> HttpResponse:
    jobs = jobs_of(form) if form.is_valid else []
    drafts = drafts_of(form, jobs) if form.is_valid else []
    if form.has_errors:
        return _page(request, form, token=token)
    looked_at = request.POST.get("looked", "")
    if "write" not in request.POST or looked_at != digest_of(drafts):
        return _page(request, form, token=token, drafts=drafts, again=bool(looked_at))
    return _write(request, form, jobs, drafts, token)


def _write(
    request: PageRequest,
    form: JobForm,
    jobs: Sequence[JobOfSki],
    drafts: Sequence[Draft],
    token: str,
) -> HttpResponse:
    try:
        written = write_once(drafts, token=token, by=request.visitor.actor)
    except IdempotencyMismatch:
        form.faults.append(str(SPENT))
        return _page(request, form, token=new_token())
    except RegistryError as error:
        refused(form, jobs, error)
        return _page(request, form, token=token)
    ski = tag_of(form.bench.ski)
    address = ski_path(ski.shop, ski.tag, "bench-ski")
    return HttpResponseRedirect(f"{address}?written={written.token}")


def _page(
    request: PageRequest,
    form: JobForm,
    *,
    token: str,
    drafts: Sequence[Draft] = (),
    again: bool = False,
    added: str = "",
) -> HttpResponse:
    visitor = request.visitor
    viewer = Viewer(asking=visitor.shop, unit=visitor.unit, may_write=True)
    looked = digest_of(drafts) if drafts else ""
    shown = {
        **about(form.bench),
        "form": form,
        "blank": {name: form.row(name, ROW) for name in SECTIONS},
        "token": token,
        "signs_itself": not KeptKey.objects.kept_for(visitor.shop).exists(),
        "alone": (request.POST or request.GET).get(ALONE, ""),
        "records": records_shown(drafts, viewer),
        "looked": looked,
        "changed_since": again and request.POST.get("looked") != looked,
        "added": added,
        "is_fresh": request.method == "GET",
        "unit": visitor.unit,
        "cautions": {
            name: [caution_sentence(code) for code in codes] for name, codes in CAUTIONS.items()
        },
    }
    return render(request, "pages/bench/job.html", shown, status=400 if form.has_errors else 200)
