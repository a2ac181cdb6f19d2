"""The register as a Django app, so that its migrations travel with it."""

from __future__ import annotations

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """The private tables of the register."""

    name = "balewright.store"
    label = "store"
    verbose_name = "register"
    default_auto_field = "django.db.models.BigAutoField"
