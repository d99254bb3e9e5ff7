"""The Django app that holds every table."""

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """Tables of Heftwright."""

    name = "heftwright.store"
    label = "store"
    verbose_name = "Heftwright"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the start-up checks."""
        from heftwright.store import durability

        durability.register_checks()
