"""What a web server calls: `gunicorn roomops.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "roomops.settings")

application = get_wsgi_application()
