from django.apps import AppConfig


class AthletesPagesConfig(AppConfig):
    name = "athletes.pages"
    label = "athletes_pages"
