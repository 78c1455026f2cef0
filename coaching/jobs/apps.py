from django.apps import AppConfig


class CoachingJobsConfig(AppConfig):
    name = "coaching.jobs"
    label = "coaching_jobs"
