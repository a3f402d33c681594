"""What a certificate adds to the page of a ski: how long it holds, and the code that leads back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from apps.pages.labels.code_svg import code_svg
from apps.pages.ski.moments import moment_text
from apps.registry.models import ShareLink


@dataclass(frozen=True, slots=True)
class Certificate:
    """What a certificate adds to the page of a ski.

    Parameters
    ----------
    printed_at, holds_until : str
    live : str
        Address of the live page.
    code : SafeString
        The same as a square of dark and light modules.
    """

    printed_at: str
    holds_until: str
    live: str
    code: SafeString


def certificate_of(link: ShareLink, live: str, now: datetime) -> Certificate:
    """Give what the certificate of a share link adds."""
    code = code_svg(live, _("Code that leads to the live page of this ski"))
    return Certificate(moment_text(now), moment_text(link.expires_at), live, code)
