"""Words that scripts say about copies kept on a device and answers that wait there. `{n}`, `{when}` and `{said}` are
filled in by the script.
"""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

WORDS: dict[str, Any] = {
    "copy": _("No signal. This is what was here {when}, kept on this device."),
    "again": _("Look again"),
    "wait_one": _("1 answer waits on this device and goes by itself once there is a signal."),
    "wait_many": _("{n} answers wait on this device and go by themselves once there is a signal."),
    "sent_one": _("1 answer that waited here is sent."),
    "sent_many": _("{n} answers that waited here are sent."),
    "sign_in": _("Some of them need you to sign in again first."),
    "refused": _("Not taken: {said} It is kept here until you say what becomes of it."),
    "check-in": _("Check-in of {when}"),
    "session": _("Session of {when}"),
    "decision": _("Answer of {when}"),
    "look": _("Look of {when}"),
    "damage": _("Damage noticed {when}"),
    "step": _("Step of {when}"),
    "tap": _("Tries of {when}"),
    "other": _("Entry of {when}"),
    "send_again": _("Send again"),
    "other_day": _("It was for this day"),
    "without_photo": _("Send it without the photo"),
    "throw": _("Throw it away"),
    "full": _(
        "This device has no room left, so it could not be kept. Nothing you typed is lost: it still stands here."
        " Make room on the device, or stay on this page until there is a signal and send it then."
    ),
    "broken": _("This browser keeps nothing here. What you typed still stands; send it once there is a signal."),
    "nothing": _("Nothing is answered yet. One tap is enough: start with reserve."),
    "nothing_damage": _("Not kept yet: tap the place on the hands, and choose what it is."),
    "nothing_look": _("Nothing is answered yet. One tap is enough: how does it look?"),
    "list_old": _("This list is of {when}. What you do of it today counts for today."),
    "step_done": _("Done"),
    "step_not_done": _("Not done"),
    "step_was_done": _("done"),
    "step_was_not": _("not done"),
    "step_back": _("Take back"),
    "needs_signal": _("That needs a signal. Nothing was changed."),
    "kept_today": _("Kept on this device today already. Sending again corrects it."),
    "one_more": _("One more session that day"),
    "clock": _("The clock of this device cannot be right: it is behind what was seen here before. Which day is it?"),
    "leave": _("{n} answers are not sent yet. Signing out takes them from this device for good."),
    "leave_anyway": _("Sign out and lose them"),
    "stay": _("Stay signed in"),
    "snapshot": _("No signal. The morning list as it was {when}, kept on this device for seven days at most."),
    "snapshot_gone": _("No signal. The morning list kept here was older than seven days and is gone."),
    "snapshot_none": _("No signal, and no morning list is kept on this device."),
    "decisions": _("Decisions that waited then"),
    "needs_plan": _("A plan needs a signal to be answered."),
    "why": _("Why, where it is changed or declined"),
    "why_missing": _("Say why."),
    "answer": _("Answer"),
    "answered": _("Your answer waits on this device. Whether it still fits is asked when it is sent."),
    "holds": _("skin holds, of 100: {n}"),
    "pages": _("Kept on this device"),
}


def for_scripts() -> dict[str, str]:
    """All of them in the reader's language."""
    return {name: str(said) for name, said in WORDS.items()}
