"""Labels: tags are issued, printed, and printed again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from apps.pages.forms import status_of
from apps.pages.labels.address import Root, root_of
from apps.pages.labels.drawing import Drawn, draw_sheets
from apps.pages.labels.forms import DEFAULTS, AgainForm, PrintForm, RangeForm
from apps.pages.labels.layout import DoesNotFit, LabelText
from apps.pages.labels.refused import FIELDS, refusal
from apps.pages.labels.stock import Stock, mm_text
from apps.pages.paging import first_rows, number_before
from apps.pages.visitor import PageRequest, reader, writer
from apps.records.names import shop_code
from apps.registry.errors import InvalidSetting, WrongState
from apps.registry.label_ranges import ends_of, issue_range, issued_among, tags_of
from apps.registry.models import LabelRange, Shop, Tag
from apps.registry.querysets import LabelRangeQuerySet

PAGE = 50
NOTHING = Drawn((), 0)
_LENGTH = re.compile(r"[0-9]{1,3}(\.[0-9]{1,3})?", re.ASCII)


@reader
def labels(request: PageRequest) -> HttpResponseBase:
    """Show what was issued, and issue more."""
    form = RangeForm(request.POST or None)
    if request.method == "POST":
        return _issue(request, form)
    return _labels(request, form)


def _labels(request: PageRequest, form: RangeForm) -> HttpResponse:
    rows, last = first_rows(_ranges(request)[: PAGE + 1], PAGE)
    shown = {
        "form": form,
        "again": AgainForm(),
        "ranges": [_Issued(one) for one in rows],
        "older": last.pk if last else None,
        "root": root_of(request),
    }
    return render(request, "pages/labels/labels.html", shown, status=status_of(form))


def _ranges(request: PageRequest) -> LabelRangeQuerySet:
    rows, before = LabelRange.objects.of_shop(request.visitor.shop), number_before(request)
    return rows if before is None else rows.filter(id__lt=before)


@dataclass(frozen=True, slots=True)
class _Issued:
    """A range as the list shows it."""

    row: LabelRange

    @property
    def tags(self) -> tuple[str, str]:
        """Its first and last tag."""
        return ends_of(self.row)

    @property
    def count(self) -> int:
        """How many tags it has."""
        return self.row.last - self.row.first + 1


@writer
def _issue(request: PageRequest, form: RangeForm) -> HttpResponse:
    issued = _issued(request, form) if form.is_valid() else None
    if issued is None:
        return _labels(request, form)
    messages.success(request, _done(_Issued(issued)))
    return redirect("pages:labels-print", number=issued.pk)


def _done(issued: _Issued) -> str:
    first, last = issued.tags
    sentence = ngettext(
        "%(count)s tag is issued: %(first)s.",
        "%(count)s tags are issued: %(first)s to %(last)s.",
        issued.count,
    )
    return sentence % {"count": issued.count, "first": first, "last": last}


def _issued(request: PageRequest, form: RangeForm) -> LabelRange | None:
    try:
        given = form.cleaned_data
        return issue_range(
            prefix=given["beginning"],
            count=given["count"],
            digits=given["digits"],
            by=request.visitor.actor,
        )
    except (InvalidSetting, WrongState) as error:
        form.add_error(FIELDS.get(error.pointer), refusal(error))
        return None


@require_safe
@reader
def print_range(request: PageRequest, number: int) -> HttpResponse:
    """Show the labels of a range as they are printed."""
    found = LabelRange.objects.of_shop(request.visitor.shop).filter(pk=number).first()
    if found is None:
        raise Http404
    tags = tags_of(found)
    return _sheets(request, _Wanted(tags, frozenset(tags)))


@require_safe
@reader
def print_tags(request: PageRequest) -> HttpResponse:
    """Show labels for tags that were issued before, or come from elsewhere."""
    form = AgainForm(request.GET)
    if not form.is_valid():
        return render(request, "pages/labels/again.html", {"again": form}, status=status_of(form))
    tags = tuple(form.cleaned_data["tags"])
    shop = request.visitor.shop
    issued = issued_among(tags, shop)
    known = Tag.objects.of_shop(shop).filter(tag__in=tags).values_list("tag", flat=True)
    strange = tuple(tag for tag in tags if tag not in {*issued, *known})
    return _sheets(request, _Wanted(tags, issued, strange))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is to be printed; `strange` are on no ski and were not issued."""

    tags: tuple[str, ...]
    checked: frozenset[str]
    strange: tuple[str, ...] = ()

    def texts(self, root: Root, shop: Shop) -> list[LabelText]:
        """Say what stands on each label."""
        label = shop.label or shop_code(shop.handle)
        return [
            LabelText(tag, root.of_ski(shop.handle, tag), label, tag in self.checked)
            for tag in self.tags
        ]


def _sheets(request: PageRequest, wanted: _Wanted) -> HttpResponse:
    form = PrintForm({**DEFAULTS, **request.GET.dict()})
    root = root_of(request)
    shop = Shop._default_manager.get(handle=request.visitor.shop)
    drawn = _drawn(form, wanted.texts(root, shop)) if form.is_valid() else NOTHING
    shown: dict[str, Any] = {
        "form": form,
        "wanted": wanted,
        "root": root,
        "example": root.of_ski(shop.handle, wanted.tags[0]),
        "sheets": drawn.sheets,
        "again": request.GET.get("tags", ""),
    }
    if drawn.sheets:
        shown |= _paper(form.chosen_stock)
        shown["parts"] = _parts(request, drawn.parts, form.cleaned_data["part"])
    return render(request, "pages/labels/print.html", shown, status=status_of(form))


def _drawn(form: PrintForm, texts: list[LabelText]) -> Drawn:
    start, part = form.cleaned_data["start"], form.cleaned_data["part"]
    try:
        drawn = draw_sheets(texts, form.chosen_stock, start=start, slip=form.slip, part=part)
    except DoesNotFit:
        form.add_error("stock", _("These labels are too small for such tags and their codes."))
        return NOTHING
    if part > drawn.parts:
        raise Http404
    return drawn


def _parts(request: PageRequest, count: int, current: int) -> list[tuple[int, str]]:
    """Give the parts of a long run by number, each with its address; "" for the one shown."""
    query = request.GET.copy()
    parts = []
    for number in range(1, count + 1):
        query["part"] = str(number)
        parts.append((number, "" if number == current else f"?{query.urlencode()}"))
    return parts


def _paper(stock: Stock) -> dict[str, str]:
    """Give the sizes that the drawing and the style of the page share."""
    sizes = {
        "page_width": mm_text(stock.page_width_um),
        "page_height": mm_text(stock.page_height_um),
        "label_width": mm_text(stock.label_width_um),
        "label_height": mm_text(stock.label_height_um),
    }
    width, height = sizes["page_width"], sizes["page_height"]
    return sizes | {"style": f"{reverse('pages:labels-style')}?width={width}&height={height}"}


@require_safe
@reader
def page_style(request: PageRequest) -> HttpResponse:
    """Give the style that sets the size of the paper, which no page may carry inline."""
    width, height = (request.GET.get(name, "") for name in ("width", "height"))
    if not (_LENGTH.fullmatch(width) and _LENGTH.fullmatch(height)):
        raise Http404
    style = (
        f"@page {{ size: {width}mm {height}mm; margin: 0; }}\n"
        f"@media print {{ .sheet {{ width: {width}mm; height: {height}mm; }} }}\n"
    )
    return HttpResponse(style, content_type="text/css; charset=utf-8")
