"""Makes the list of long passwords that are refused: `python -m athletes.records.passwords.make_blocked`.

A list of passwords that leaked holds next to none of 15 characters, so one does not protect here. Whoever is made to
write more writes what they would have written, longer: a word twice, two words, a word and a run of the keyboard or of
digits, a well-known phrase. This writes those down, from short lists of plain words: of everyday English and keyboards,
and of the sport. Each entry is as `folded` leaves it, so that capitals, spaces, signs and digits written for letters
make no difference. Kept are those that a password of 15 to 40 characters can fold to.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from itertools import product
from pathlib import Path

from athletes.records.passwords.folding import folded

BLOCKED = Path(__file__).with_name("blocked.txt.gz")
SHORTEST, LONGEST = 15, 40

EVERYDAY = """
password passwort passcode secret letmein welcome hello admin administrator user login master monkey dragon shadow
sunshine princess football baseball superman batman iloveyou lovely flower summer winter spring autumn monday friday
january february march april june july august september october november december freedom whatever trustno starwars
computer internet samsung google apple orange banana chocolate cookie pepper ginger coffee tiger eagle wolf bear lion
""".split()
SPORT = """
climbing climber climb boulder bouldering rope belay chalk crimp jug sloper pocket crag rock stone granite sandstone
limestone skin finger fingers hand hands coach coaching athlete athletes team squad training trainer competition event
wall hall gym summit mountain mountains redpoint onsight flash send project tape pads tenpads
""".split()
RUNS = """
qwertyuiop asdfghjkl zxcvbnm qwerty qwertz qwertzuiop azerty azertyuiop qazwsxedc 1qaz2wsx3edc 1q2w3e4r5t6y
abcdefghijklmnop abcdefgh abcdef abc123 123456 1234567 12345678 123456789 1234567890 12345678910 0987654321 987654321
654321 111111 000000 666666 123123 123321 112233 121212 102030 13579 24680
""".split()
YEARS = [str(year) for year in range(1960, 2036)]
SENTENCES = """
thisismypassword thisisapassword thisisasecret itsasecretpassword mypasswordislong averylongpassword
averyverylongpassword alongerpassword verylongpassword fifteencharacters fifteenletters atleastfifteencharacters
correcthorsebatterystaple thequickbrownfox thequickbrownfoxjumpsoverthelazydog loremipsumdolor
loremipsumdolorsitamet tobeornottobe tobeornottobethatisthequestion maytheforcebewithyou winteriscoming
iloveclimbing iloveclimbingrocks ilovebouldering climbingismylife climbingislife climbinglife chalkbeforerock
climboncoach climbonandon skinthatholds theskinthatholds mycoachisthebest welovetoclimb letsgoclimbing
oncelonguponatime onceuponatime iloveyouforever iloveyousomuch letmeinplease pleaseletmein donttellanyone
changemeplease changethispassword changemenow temporarypassword defaultpassword newpassword oldpassword
mydogsname mycatsname happybirthday merrychristmas goodmorning goodnight
""".split()


def candidates() -> Iterator[str]:
    """Everything as somebody may write it."""
    words = [*EVERYDAY, *SPORT]
    yield from SENTENCES
    for first, second in product(words, words):
        yield first + second
    for word, run in product(words, RUNS):
        yield word + run
        yield run + word
    for first, second in product(RUNS, RUNS):
        yield first + second
    for word in [*words, *RUNS]:
        yield from (word * times for times in range(2, LONGEST // len(word) + 1))
    for first, second, year in product(EVERYDAY[:12], SPORT[:12], YEARS):
        yield first + second + year


def entries() -> list[str]:
    """The list: long enough to be a password of their own, folded, sorted, each once."""
    return sorted({folded(text) for text in candidates() if SHORTEST <= len(text) <= LONGEST})


def packed() -> bytes:
    """The file's bytes, the same on every machine: no time and no name in its head."""
    return gzip.compress("\n".join(entries()).encode(), 9, mtime=0)


if __name__ == "__main__":
    BLOCKED.write_bytes(packed())
    print(len(entries()), "entries,", BLOCKED.stat().st_size, "bytes")
