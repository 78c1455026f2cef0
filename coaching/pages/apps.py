from django.apps import AppConfig


class CoachingPagesConfig(AppConfig):
    name = "coaching.pages"
    label = "coaching_pages"
