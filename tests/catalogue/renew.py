"""Take the texts of the tree into the catalogues; tell how many of each language wait for a translation."""

from __future__ import annotations

import os


def main() -> None:
    """Renew every language."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    import django

    django.setup()
    from tests.catalogue import files
    from tests.catalogue.extraction import all_keys

    keys = all_keys()
    for language in files.LANGUAGES:
        catalogue = files.read(language)
        held, empty = files.keyed(catalogue), ("",) * catalogue.num_plurals
        files.write(language, files.make(language, {key: held.get(key, empty if key[2] else "") for key in keys}))
    for language, texts in files.list_waiting().items():
        print(f"{language}: {len(keys)} texts, {len(texts)} not translated")  # noqa: T201


if __name__ == "__main__":
    main()
