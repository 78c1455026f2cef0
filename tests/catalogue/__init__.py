"""The catalogues of words: what the tree holds against what is translated.

    python -m tests.catalogue.renew

takes new texts into `coaching/config/locale/*/LC_MESSAGES/django.po` (untranslated, so that they show), drops those
that are gone, keeps every translation and writes the `.mo` files beside them. No tool beyond Babel is needed.
"""
