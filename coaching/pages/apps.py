from django.apps import AppConfig
from django.contrib.auth.signals import user_logged_in


class CoachingPagesConfig(AppConfig):
    name = "coaching.pages"
    label = "coaching_pages"

    def ready(self) -> None:
        from coaching.pages import sessions_begin  # noqa: PLC0415 - records' tables are not there before

        user_logged_in.connect(sessions_begin.noted, dispatch_uid="tenpads-session")
