"""Who looks at a ski, and what of it that person is shown."""

from __future__ import annotations

from dataclasses import dataclass

from apps.pages.numbers import Unit


@dataclass(frozen=True, slots=True)
class Viewer:
    """Someone who looks at a ski.

    Parameters
    ----------
    asking : str
        Handle of the shop whose practice counts; "" for the operator.
    unit : {"mm", "um"}
        How small lengths are shown.
    is_buyer : bool
        Whether a share link brought the viewer here: no technician, no remarks, no raw record.
    may_write : bool
        Whether the bench and the certificate are offered.
    """

    asking: str
    unit: Unit = "mm"
    is_buyer: bool = False
    may_write: bool = False
