import django.db.models.deletion
from django.db import migrations, models


def name_fixtures(apps, _schema_editor):
    """A lamp that hangs there gets a name of its own; those that are gone need none."""
    lamps = apps.get_model("records", "Lamp").objects
    for lamp in lamps.select_related("tank").filter(key="").order_by("pk"):
        lamp.key = f"{lamp.tank.key[:30]}-{lamp.kind}-{lamp.pk}"
        lamp.save(update_fields=["key"])


def no_line_without_a_change(apps, _schema_editor):
    """On the way back: counts that changed nothing have no place in the older table."""
    apps.get_model("records", "LedgerLine").objects.filter(change=0).delete()


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0003_lives_and_glows"),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name="ledgerline",
            name="ledger_line_changes_something",
        ),
        migrations.AddField(
            model_name="batch",
            name="source",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="batch",
            name="weight_g",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="lamp",
            name="key",
            field=models.SlugField(default=""),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="lamp",
            name="timer",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="lamps",
                to="records.timer",
            ),
        ),
        migrations.AddField(
            model_name="ledgerline",
            name="form",
            field=models.UUIDField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="ledgerline",
            name="note",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AlterField(
            model_name="ledgerline",
            name="reason",
            field=models.CharField(
                choices=[
                    ("received", "received"),
                    ("counted", "counted"),
                    ("fed", "fed out"),
                    ("used", "used"),
                    ("thrown", "thrown out"),
                    ("corrected", "corrected"),
                ],
                max_length=12,
            ),
        ),
        migrations.RunPython(name_fixtures, no_line_without_a_change),
        migrations.AddConstraint(
            model_name="batch",
            constraint=models.CheckConstraint(
                condition=models.Q(("weight_g__isnull", True), ("weight_g__gt", 0), _connector="OR"),
                name="batch_weighs_something",
            ),
        ),
        migrations.AddConstraint(
            model_name="lamp",
            constraint=models.UniqueConstraint(
                condition=models.Q(("removed_on__isnull", True)),
                fields=("room", "key"),
                name="one_lamp_in_a_fixture",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerline",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("change", 0), _negated=True), ("reason", "counted"), _connector="OR"
                ),
                name="ledger_line_changes_something",
            ),
        ),
        migrations.AddConstraint(
            model_name="ledgerline",
            constraint=models.UniqueConstraint(fields=("room", "form"), name="ledger_line_once_a_form"),
        ),
    ]
