"""What gunicorn serves."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")

application = get_wsgi_application()
# Every page's module now, before the processes are forked, not at the first request.
_ = get_resolver().url_patterns
