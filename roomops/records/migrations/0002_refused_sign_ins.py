from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [
        migrations.CreateModel(
            name="RefusedSignIn",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=150)),
                ("address", models.GenericIPAddressField(null=True)),
                ("at", models.DateTimeField()),
            ],
            options={"indexes": [models.Index(fields=["name", "at"], name="records_ref_name_c6f6e2_idx")]},
        ),
    ]
