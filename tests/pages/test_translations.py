"""The catalogs hold every string of the pages, and the tool that keeps them says what is wrong."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from service_registry.__main__ import main
from service_registry.catalogs.extracting import extracted
from service_registry.commands import translations
from service_registry.commands.translations import PAGES, catalog_faults, po_path

PAGE = """
    {% load i18n %}<p title="{% translate "Left" %}">
      {% blocktranslate trimmed count counter=n %}{{ counter }} ski{% plural %}
        {{ counter }} skis{% endblocktranslate %}</p>
"""
MODULE = """
from django.utils.translation import gettext_lazy as _, pgettext, ngettext_lazy

_("Set to %(bevel)s. "
  "It stands.")
pgettext("edge", "Left")
ngettext_lazy("%(n)s day", "%(n)s days", "n")
_not_a_string = "Never extracted"
"""


@pytest.fixture
def room(tmp_path: Path) -> Path:
    """A room with one template and one module, and its catalogs written."""
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates" / "page.html").write_text(PAGE, encoding="utf-8")
    (tmp_path / "words.py").write_text(MODULE, encoding="utf-8")
    translations.write_catalogs(tmp_path)
    return tmp_path


def fill(room: Path, language: str = "de") -> None:
    """Translate everything in a catalog by saying it backwards, placeholders kept."""
    path = po_path(room, language)
    head, *rest = path.read_text(encoding="utf-8").split("\n\n")
    path.write_text("\n\n".join([head, *map(_filled, rest)]), encoding="utf-8")


def _filled(entry: str) -> str:
    texts = re.findall(r'^msgid(?:_plural)? "(.*)"$', entry, re.MULTILINE)
    empties = iter([f"~{text}" for text in texts])
    return re.sub(r'^(msgstr\S*) ""$', lambda one: f'{one[1]} "{next(empties)}"', entry, flags=re.M)


def edit(room: Path, old: str, new: str) -> None:
    path = po_path(room, "de")
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def german_faults(room: Path) -> list[str]:
    return [line for line in catalog_faults(room) if line.startswith("de: ")]


def complete(room: Path) -> Path:
    for language in translations.LANGUAGES:
        fill(room, language)
    translations.write_catalogs(room)
    return room


def test_the_catalogs_of_the_pages_are_complete() -> None:
    assert list(catalog_faults(PAGES)) == []


def test_strings_are_found_in_modules_and_templates(room: Path) -> None:
    found = {
        (one.context, one.id if isinstance(one.id, str) else one.id[0]) for one in extracted(room)
    }
    assert found - {(None, "")} == {
        (None, "Left"),
        ("edge", "Left"),
        (None, "%(counter)s ski"),
        (None, "Set to %(bevel)s. It stands."),
        (None, "%(n)s day"),
    }


def test_a_new_catalog_is_empty_and_says_so(room: Path) -> None:
    assert "de: empty: 'Left' of 'edge'" in german_faults(room)
    assert len(german_faults(room)) == 5


def test_a_complete_catalog_has_no_fault_and_stays_as_it_is(room: Path) -> None:
    complete(room)
    assert list(catalog_faults(room)) == []
    stands = {path: path.read_bytes() for path in room.rglob("django.*")}
    translations.write_catalogs(room)
    assert {path: path.read_bytes() for path in room.rglob("django.*")} == stands
    assert len(stands) == 4


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('msgstr "~Set to %(bevel)s. It stands."', 'msgstr "~%(bevle)s"', "other placeholders"),
        (
            'msgstr "~Set to %(bevel)s. It stands."',
            'msgstr "~%(bevel)s 5 %"',
            "a lone percent sign",
        ),
        ('msgstr[1] "~%(n)s days"', 'msgstr[1] ""', "empty"),
        ('msgstr[1] "~%(n)s days"', 'msgstr[1] "~days"', "other placeholders"),
        ('msgid_plural "%(n)s days"', 'msgid_plural "%(n)s dais"', "another plural"),
        ('msgstr "~Left"', 'msgstr "~Left "', "other blanks at an end"),
        ('msgid "Set to', '#, fuzzy\nmsgid "Set to', "uncertain"),
        ('msgid "Set to', 'msgid "Get to', "missing"),
        ('msgid "Set to', 'msgid "Get to', "left over"),
        ('msgstr "~Set', 'msgstr "~~Set', "django.mo was not made from django.po"),
    ],
)
def test_a_fault_is_named(room: Path, old: str, new: str, fault: str) -> None:
    edit(complete(room), old, new)
    assert any(fault in line for line in german_faults(room))
    assert not [line for line in catalog_faults(room) if line.startswith("fr: ")]


def test_a_string_that_is_gone_is_left_over_until_it_is_written_anew(room: Path) -> None:
    path = po_path(complete(room), "de")
    gone = '\n\n#~ msgid "Gone"\n#~ msgstr "Weg"\n'
    path.write_text(path.read_text(encoding="utf-8") + gone, encoding="utf-8")
    assert "de: left over: 'Gone'" in german_faults(room)
    translations.write_catalogs(room)
    assert german_faults(room) == []


def test_a_catalog_that_was_never_compiled(room: Path) -> None:
    po_path(complete(room), "de").with_suffix(".mo").unlink()
    assert german_faults(room) == ["de: django.mo was not made from django.po"]


def test_the_command_writes_and_says_what_is_left(
    room: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["translations", "--folder", str(room)]) == 1
    assert "fr: empty: 'Left'" in capsys.readouterr().err
    complete(room)
    assert main(["translations", "--check", "--folder", str(room)]) == 0
    assert capsys.readouterr().err == ""


def test_a_check_changes_nothing(room: Path) -> None:
    stands = po_path(room, "de").read_bytes()
    (room / "words.py").write_text('_("New")', encoding="utf-8")
    assert main(["translations", "--check", "--folder", str(room)]) == 1
    assert po_path(room, "de").read_bytes() == stands


def test_without_the_tool_the_command_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(translations, "find_spec", lambda _name: None)
    assert main(["translations", "--check"]) == 2
    assert "install the extra `dev`" in capsys.readouterr().err
