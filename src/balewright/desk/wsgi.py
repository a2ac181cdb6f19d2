"""What gunicorn serves."""

from __future__ import annotations

import os
import threading

from django.core.wsgi import get_wsgi_application

from balewright.cause.infer.warm_up import warm_up

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "balewright.desk.django_settings")
application = get_wsgi_application()
threading.Thread(target=warm_up, daemon=True).start()
"""Beside the first pages, so that the first question for causes does not wait for it."""
