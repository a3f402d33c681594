"""A history is ordered by the instant and by the log, where it went by the clock and the id."""

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

TABLE = "registry_record"
SQLITE_GUARD = f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    BEGIN SELECT RAISE(ABORT, 'Records are append-only.'); END"""
POSTGRESQL_GUARD = f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION registry_record_refuse()"""
GUARD = {"sqlite": SQLITE_GUARD, "postgresql": POSTGRESQL_GUARD}
UNGUARD = {
    "sqlite": "DROP TRIGGER record_no_update",
    "postgresql": f"DROP TRIGGER record_no_update ON {TABLE}",
}


def by_instant(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    write_clock(schema_editor, "performed_sort")


def by_bench_clock(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    write_clock(schema_editor, "performed_at")


def write_clock(schema_editor: BaseDatabaseSchemaEditor, column: str) -> None:
    """Put the first 19 signs of a column before the rank; a date alone is noon in both orders."""
    vendor = schema_editor.connection.vendor
    schema_editor.execute(UNGUARD[vendor], params=None)
    schema_editor.execute(
        f"UPDATE {TABLE} SET order_key = substr({column}, 1, 19) || substr(order_key, 20) "  # noqa: S608 - no value from outside in it
        "WHERE length(performed_at) > 10",
        params=None,
    )
    schema_editor.execute(GUARD[vendor], params=None)


class Migration(migrations.Migration):
    dependencies = [("registry", "0004_likeness")]

    operations = [
        migrations.RemoveIndex(model_name="record", name="record_history"),
        migrations.RunPython(by_instant, by_bench_clock),
        migrations.AddIndex(
            model_name="record",
            index=models.Index(
                fields=["subject", "order_key", "author", "log_index"], name="record_history"
            ),
        ),
    ]
