"""Finding a ski at the bench, registering one, and its condition in short."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.bench.faults import Fault, faults_of
from apps.pages.bench.find_form import FindForm, RegisterForm
from apps.pages.bench.on_bench import OnBench, lay_on_bench, tag_of
from apps.pages.bench.overview import held_back, overview
from apps.pages.bench.plan_form import finding_text
from apps.pages.missing import Missing, missing_ski
from apps.pages.sentences import caution_sentence, warning_sentence
from apps.pages.ski.description import headline_of
from apps.pages.ski.unknown import unknown_ski
from apps.pages.typed_tag import NoTagInAddress, read_typed
from apps.pages.visitor import PageRequest, reader, writer
from apps.pages.writing import written_by
from apps.records.errors import InvalidRecord
from apps.records.place import SkiTag
from apps.registry.actions import register_ski
from apps.registry.errors import RegistryError, UnknownTag
from apps.registry.models import Tag

CAUTIONS = ("sharp-edges", "binding-inspect-only")


@require_http_methods(["GET", "POST"])
def bench(request: HttpRequest) -> HttpResponseBase:
    """Find a ski; a ski that is new is registered from the same page."""
    return _register(request) if request.method == "POST" else _find(request)


@reader
def _find(request: PageRequest) -> HttpResponse:
    if "tag" not in request.GET:
        return _page(request, FindForm(label_suffix=""))
    form = FindForm(request.GET, label_suffix="")
    if not form.is_valid():
        return _page(request, form)
    try:
        ski = read_typed(
            form.cleaned_data["tag"], own=request.visitor.shop, host=request.get_host()
        )
    except UnknownTag as error:
        form.add_error("tag", _unreadable(error))
        return _page(request, form)
    return _open(request, form, ski)


def _unreadable(error: UnknownTag) -> str:
    if isinstance(error, NoTagInAddress):
        return _("This address is not that of a ski's label.")
    return _("A tag has letters A to Z, digits, full stops, low lines and hyphens, 40 at most.")


def _open(request: PageRequest, form: FindForm, ski: SkiTag) -> HttpResponse:
    if Tag.objects.filter(key=f"{ski.shop}/{ski.tag}").exists():
        return HttpResponseRedirect(ski_path(ski.shop, ski.tag, "bench-ski"))
    missing = missing_ski(ski, own=request.visitor.shop)
    register = RegisterForm(initial={"tag": ski.tag}) if missing.is_own else None
    return _page(request, form, missing, register)


@writer
def _register(request: PageRequest) -> HttpResponse:
    form = RegisterForm(request.POST)
    try:
        if form.is_valid():
            draft = form.draft(request.visitor.shop)
            register_ski(draft=draft, by=request.visitor.actor)
            return HttpResponseRedirect(ski_path(draft.ski.shop, draft.ski.tag, "bench-ski"))
    except (InvalidRecord, RegistryError) as error:
        for fault in faults_of(error):
            _put_back(form, fault)
    return _page(request, FindForm(label_suffix=""), None, form)


def _put_back(form: RegisterForm, fault: Fault) -> None:
    name = fault.pointer.rpartition("/")[2]
    form.add_error(name if name in form.fields else None, fault.sentence)


def _page(
    request: PageRequest,
    form: FindForm,
    missing: Missing | None = None,
    register: RegisterForm | None = None,
) -> HttpResponse:
    may_register = request.visitor.may_write and register is not None
    shown = {
        "find": form,
        "missing": missing,
        "register": register if may_register else None,
        "errors": form.errors or (register.errors if register else None),
    }
    status = 400 if shown["errors"] else 200
    return render(request, "pages/bench/find.html", shown, status=status)


@require_GET
@reader
def bench_ski(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Show the condition in short, with the other ski of the pair beside it."""
    try:
        lying = lay_on_bench(shop, tag, request.visitor)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    shown = {
        **about(lying),
        "rows": overview(lying.sights, request.visitor.unit),
        "open": [_open_findings(lying, number) for number in range(len(lying.sights))],
        "doubts": _doubts(lying, request),
        "cautions": [caution_sentence(code) for code in CAUTIONS],
        "written": written_by(request.visitor.shop, request.GET.get("written", "")),
    }
    return render(request, "pages/bench/ski.html", shown)


def about(lying: OnBench) -> dict[str, object]:
    """Give what each page about the skis on the bench shows of them."""
    return {
        "bench": lying,
        "ski": tag_of(lying.ski),
        "other": tag_of(lying.other) if lying.other else None,
        "skis": [tag_of(sight) for sight in lying.sights],
        "headline": headline_of(lying.ski.known.fields),
        "held_back": [
            {"tag": tag, "sentence": sentence}
            for tag, sight in zip(lying.tags, lying.sights, strict=True)
            if (sentence := held_back(sight))
        ],
    }


def _open_findings(lying: OnBench, number: int) -> dict[str, object]:
    sight = lying.sights[number]
    found = [finding_text(one) for one in sight.condition.open_findings]
    return {"tag": lying.tags[number], "findings": found}


def _doubts(lying: OnBench, request: PageRequest) -> list[dict[str, object]]:
    unit = request.visitor.unit
    return [
        {"tag": tag, "sentences": [warning_sentence(one, unit) for one in sight.condition.warnings]}
        for tag, sight in zip(lying.tags, lying.sights, strict=True)
    ]
