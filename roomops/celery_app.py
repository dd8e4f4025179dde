"""The Celery side of background work, used where REDIS_URL names a broker.

A message carries the id of a row in the job table and nothing else; `manage.py work` runs the same rows
without any broker. Workers start with `celery -A roomops.celery_app worker`.
"""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "roomops.settings")

app = Celery("roomops", include=["roomops.tasks.celery_jobs"])
app.config_from_object("django.conf:settings", namespace="CELERY")
